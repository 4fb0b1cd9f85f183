"""What can be planted into a module: one small change a site, found in its syntax tree."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass

OTHER: dict[type[ast.AST], type[ast.AST]] = {
    **{ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Pow: ast.Mult},
    **{ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt},
    **{ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.And: ast.Or, ast.Or: ast.And},
    ast.USub: ast.UAdd,
}
NAMES = {"min": "max", "max": "min", "minimum": "maximum", "maximum": "minimum", "abs": "+"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """A place in a module, by its number in the walk, and which change of it is meant."""

    file: str
    number: int
    field: str
    at: int
    line: int
    scope: str
    """The function around it, as Python qualifies its name; empty outside functions."""


def sites(file: str, source: str) -> list[Site]:
    """Every place of a module where something can be planted."""
    tree = ast.parse(source)
    scopes = dict(_scopes(tree, "", ""))
    found = []
    for number, node in enumerate(ast.walk(tree)):
        if node in scopes:
            for field, at in _changes(node):
                line: int = node.lineno  # type: ignore[attr-defined]  # those with changes have one
                place = {"file": file, "number": number, "field": field, "at": at, "line": line}
                found.append(Site(**place, scope=scopes[node]))  # type: ignore[arg-type]
    return found


def planted(site: Site, source: str) -> tuple[str, str]:
    """The module with the change of the site, and the change as one line."""
    tree = ast.parse(source)
    node = list(ast.walk(tree))[site.number]
    before = _shown(node)
    value = getattr(node, site.field)
    if site.field in ("op", "ops"):
        new = OTHER[type(value if site.field == "op" else value[site.at])]()
        if site.field == "op":
            node.op = new  # type: ignore[attr-defined]
        else:
            value[site.at] = new
    elif site.field == "test":
        node.test = ast.UnaryOp(op=ast.Not(), operand=value)  # type: ignore[attr-defined]
    elif site.field == "ifs":
        value[site.at] = ast.UnaryOp(op=ast.Not(), operand=value[site.at])
    elif site.field == "func":
        word = NAMES[_name(value)]
        if word == "+":
            node.func = ast.parse("lambda x: x", mode="eval").body  # type: ignore[attr-defined]
        elif isinstance(value, ast.Name):
            value.id = word
        else:
            value.attr = word
    elif isinstance(node, ast.Return):
        node.value = ast.Constant(None)
    elif isinstance(value, int):
        node.value = value + 1  # type: ignore[attr-defined]
    else:
        node.value = value * 1.1 or 1.0  # type: ignore[attr-defined]
    return ast.unparse(ast.fix_missing_locations(tree)), f"{before}  ->  {_shown(node)}"


def _changes(node: ast.AST) -> Iterator[tuple[str, int]]:
    """Field and index of what can be changed in a node."""
    if isinstance(node, ast.BinOp | ast.BoolOp | ast.UnaryOp) and type(node.op) in OTHER:
        if not any(isinstance(part, ast.JoinedStr) for part in ast.iter_child_nodes(node)):
            yield "op", 0
    elif isinstance(node, ast.Compare):
        yield from (("ops", at) for at, op in enumerate(node.ops) if type(op) in OTHER)
    elif isinstance(node, ast.If | ast.While | ast.IfExp):
        yield "test", 0
    elif isinstance(node, ast.Call) and _name(node.func) in NAMES:
        yield "func", 0
    elif isinstance(node, ast.Return):
        if node.value and ast.unparse(node.value) != "None":
            yield "value", 0
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        yield "value", 0


def _name(function: ast.expr) -> str:
    return getattr(function, "id", getattr(function, "attr", ""))


def _scopes(node: ast.AST, qualified: str, scope: str) -> Iterator[tuple[ast.AST, str]]:
    """The nodes that may change, each with the function around it."""
    if isinstance(node, ast.Import | ast.ImportFrom):
        return
    if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__version__":
        return
    if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
        return
    yield node, scope
    inside, within = qualified, scope
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        inside = f"{qualified}.{node.name}".lstrip(".")
        if isinstance(node, ast.FunctionDef):
            within, inside = scope or inside, f"{inside}.<locals>"
    for name, value in ast.iter_fields(node):
        if name in ("annotation", "returns", "type_comment"):
            continue
        # defaults and decorators are worked out where the function is defined
        body = within if name == "body" or not isinstance(node, ast.FunctionDef) else scope
        for child in value if isinstance(value, list) else [value]:
            if isinstance(child, ast.arguments):
                for default in (*child.defaults, *child.kw_defaults):
                    if default is not None:
                        yield from _scopes(default, qualified, scope)
            elif isinstance(child, ast.AST):
                yield from _scopes(child, inside, body)


def _shown(node: ast.AST) -> str:
    """A node in one line; of a statement its head."""
    return ast.unparse(node).split("\n")[0]
