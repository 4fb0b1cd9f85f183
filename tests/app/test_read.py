"""What was read on the sheet: the answer, its drawing, and the rounds that are kept."""

from __future__ import annotations

import json
import math
import re
import shlex
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from protractor.alignments.align import align
from protractor.alignments.deck import Deck
from protractor.alignments.sheet_code import sheet_code
from protractor.app.pictures.correction import drawn
from protractor.app.pictures.picture import HEIGHT, LETTER, WIDTH, Picture
from protractor.drawing.type import MM_PER_POINT, width_mm
from protractor.setup.headshell import slide_and_turn
from protractor.setup.rounds import read_rounds
from tests.app.conftest import Site
from tests.conftest import Ran

MOVE = {"reading": ["66.0:2.5", "120.9:1.5"]}
BENCH = {"deck": "Bench deck", **MOVE}


def address(page: str, query: dict[str, Any]) -> str:
    """A page with a query; underscores for hyphens."""
    words = {name.replace("_", "-"): value for name, value in query.items()}
    return f"{page}?{urlencode(words, doseq=True)}"


def asked(site: Site, query: dict[str, Any]) -> Any:
    """The JSON twin of the page."""
    return site.get(address("/read.json", query)).get_json()


# The question and its answer


@pytest.mark.parametrize(
    "query",
    [
        {"pivot_to_spindle": "222", **MOVE},
        {"deck": "Bench deck", "reading": ["66.0:0.5", "120.9:0,5"], "overhang_mark": "-1"},
        {
            "deck": "Bench deck 2",
            "reading": ["60.3:-1.5", "117.4:-1", "60.3:-1.2", "117.4:-1.1"],
            "turn_about": "screws",
            "slot_room": "6 and 7",
            "pivot_height": "20",
        },
    ],
)
def test_the_answer_is_the_commands(
    site: Site, run: Callable[..., Ran], query: dict[str, Any]
) -> None:
    """The command that is shown, and the lines of Python, give the figures of the page."""
    found = asked(site, query)
    assert found["errors"] == []
    by_command = json.loads(run(*shlex.split(found["command"])[1:], "--json").out)
    by_command = {key: by_command[key] for key in found["answer"]}
    assert by_command == found["answer"]
    here: dict[str, Any] = {}
    exec(found["python"], here)
    assert here["found"].slide_mm == found["answer"]["slide_mm"]
    assert list(here["found"].turn_interval_deg) == found["answer"]["turn_deg_95"]


def test_fans_are_another_way_to_write_readings(site: Site) -> None:
    """Fields lead to the one address of their question, several readings of each included."""
    given = {"deck": "Bench deck", "inner-fan": ["2.5", "", "2,4"], "outer-fan": "1.5", "code": ""}
    gone = site.get(address("/read", given))
    assert gone.status_code == 303
    reading = ["66.0:2.5", "66.0:2.4", "120.9:1.5"]
    assert gone.headers["Location"] == address("/read", {"deck": "Bench deck", "reading": reading})
    page = site.get(gone.headers["Location"]).text
    assert re.search(r'name="inner-fan"[^>]*value="2.5"', page)
    assert re.search(r'name="inner-fan"[^>]*value="2.4"', page)
    assert re.search(r'name="outer-fan"[^>]*value="1.5"', page)
    assert 'name="reading"' not in page


def test_what_is_wrong_stands_beside_its_field(site: Site) -> None:
    """A reading beyond the fan is refused with what to do, and nothing is answered."""
    found = site.get("/read?deck=Bench+deck&inner-fan=25&outer-fan=1")
    assert found.status_code == 400
    beside = re.search(r'id="f-inner-fan-wrong"[^>]*>(.*?)</p>', found.text, re.DOTALL)
    assert beside is not None
    assert "Allowed: -4 to 4 deg" in beside[1]
    assert "Keep this" not in found.text


def test_one_target_alone_is_waited_for(site: Site) -> None:
    """The first fan alone is no mistake, but no answer either."""
    found = site.get("/read?deck=Bench+deck&reading=66.0:1")
    assert found.status_code == 200
    assert "Read the other target too" in found.text


def test_readings_of_another_sheet_are_refused_with_its_name(site: Site) -> None:
    """The code of another deck's sheet, and of another scheme of this deck."""
    other = sheet_code(align(Deck(pivot_to_spindle_mm=215, scheme="stevenson")))
    found = site.get(address("/read", {**BENCH, "code": other}))
    assert found.status_code == 400
    assert "Bench deck 2" in re.findall(r'id="f-code-wrong"[^>]*>(.*?)</p>', found.text)[0]
    stevenson = sheet_code(align(Deck(pivot_to_spindle_mm=222.3, scheme="stevenson")))
    text = site.get(address("/read", {**BENCH, "code": stevenson})).text
    assert "stevenson" in re.findall(r'id="f-code-wrong"[^>]*>(.*?)</p>', text)[0]
    own = sheet_code(align(Deck(pivot_to_spindle_mm=222.3)))
    assert site.get(address("/read", {**BENCH, "code": own.lower()})).status_code == 200


@pytest.mark.parametrize(
    ("reading", "head", "arrows"),
    [
        (["66.0:2.5", "120.9:1.5"], "Move the cartridge", True),
        (["66.0:0", "120.9:0"] * 3, "Leave it as it is", False),
        (["66.0:0.3", "120.9:-0.3"], "Read again before anything is moved", False),
    ],
)
def test_verdict_in_plain_words(site: Site, reading: list[str], head: str, arrows: bool) -> None:
    """What to do is the heading; only a move has a drawing and its caution."""
    page = site.get(address("/read", {"pivot-to-spindle": "222", "reading": reading})).text
    assert f"<h2>{head}</h2>" in page
    assert ("Park the arm and put the guard on" in page) == arrows
    assert ("to the pivot</text>" in page) == arrows


# The rounds


def test_a_look_keeps_nothing_and_a_round_is_the_commands(
    site: Site, run: Callable[..., Ran]
) -> None:
    """A GET keeps nothing; what the button keeps is the line that the command keeps."""
    page = site.get(address("/read", BENCH)).text
    assert "Keep this as round 1" in page
    log = site.house.decks().log("Bench deck")
    assert not log.exists()
    kept = site.post(address("/read/keep", BENCH), {"round": "1"})
    assert kept.status_code == 303
    by_page = log.read_bytes()
    assert "These readings are kept as round 1" in site.get(kept.headers["Location"]).text
    log.unlink()
    assert run(*shlex.split(asked(site, BENCH)["command"])[1:]).status == 0
    assert log.read_bytes() == by_page


def test_a_double_press_keeps_one_round_and_says_so(site: Site) -> None:
    """The second press, or another tab that saw the same, keeps nothing."""
    site.post(address("/read/keep", BENCH), {"round": "1"})
    again = site.post(address("/read/keep", BENCH), {"round": "1"})
    assert again.status_code == 409
    assert "another window kept a round meanwhile" in again.text
    assert len(read_rounds(site.house.decks().log("Bench deck"))) == 1
    assert site.post(address("/read/keep", BENCH), {"round": "2"}, token="x").status_code == 403
    assert site.post(address("/read/keep", BENCH), {"round": "two"}).status_code == 409
    for query in ({"pivot-to-spindle": "222", **MOVE}, {"deck": "Bench deck"}):
        assert site.post(address("/read/keep", query), {"round": "1"}).status_code == 400
    assert len(read_rounds(site.house.decks().log("Bench deck"))) == 1


def test_another_target_begins_a_new_count(site: Site) -> None:
    """It is said before it is kept, and the rounds before stay in the list."""
    site.post(address("/read/keep", BENCH), {"round": "1"})
    other = {"deck": "Bench deck", "scheme": "stevenson", "reading": ["60.3:1", "117.4:1.5"]}
    page = site.get(address("/read", other)).text
    assert "the count begins again" in page
    assert "Keep this as round 1" in page
    assert site.post(address("/read/keep", other), {"round": "1"}).status_code == 303
    assert [each["round"] for each in read_rounds(site.house.decks().log("Bench deck"))] == [1, 1]


def test_script_in_a_name_is_shown_as_text(site: Site) -> None:
    """What comes with the address is escaped."""
    page = site.get(address("/read", {**BENCH, "reading": ["66:1", "<script>x</script>"]})).text
    assert "<script>x" not in page


# The drawing


def picture(
    beta: float, slot: float, slide: float, turn: float, point: float, length: float = 238.0
) -> Picture:
    """A drawing of moves; angles in degrees."""
    return drawn(
        length_mm=length,
        offset_rad=math.radians(beta),
        slot_rad=math.radians(slot),
        slide_mm=slide,
        turn_rad=math.radians(turn),
        turning_point_mm=point,
        words=["Slide it", "Turn it"],
    )


def arrows(svg: str) -> list[list[tuple[float, float]]]:
    """The strokes of the arrows, from where to where, as the browser gets them."""
    strokes = re.findall(r'<polyline class="accent" stroke-width="2" points="([^"]*)"', svg)
    return [[tuple(map(float, p.split(","))) for p in each.split()] for each in strokes]  # type: ignore[misc]


angles = st.floats(0.0, 30.0)


@settings(max_examples=60, deadline=None)
@given(
    beta=angles,
    off=st.floats(-4.0, 4.0),
    slots=st.floats(-5.0, 5.0),
    longer=st.floats(-6.0, 6.0),
    screws=st.booleans(),
)
@example(beta=0.0, off=3.0, slots=0.0, longer=-3.0, screws=False)
@example(beta=24.0, off=-3.0, slots=-24.0, longer=3.0, screws=True)
def test_arrows_bring_the_arm_nearer_to_its_target(
    beta: float, off: float, slots: float, longer: float, screws: bool
) -> None:
    """Moved along the arrow and turned its way, as the eye sees them, the arm is the wanted one.

    The picture is taken as a map: pivot level with the tip to the right, y downwards; length and
    offset angle are measured in it.
    """
    wanted, length, point = 238.0, 238.0 - longer, 9.5 if screws else 0.0
    now, slot = math.radians(beta + off), math.radians(beta + slots)
    slide, turn = slide_and_turn(
        length, now, wanted, math.radians(beta), slot_angle_rad=slot, turning_point_mm=point
    )
    slide, turn = float(slide), float(turn)
    shown = arrows(
        picture(beta + off, beta + slots, slide, math.degrees(turn), point, length).svg()
    )
    slides = [each for each in shown if len(each) == 2]
    turns = [each for each in shown if len(each) > 2]
    assert bool(slides) == (abs(slide) >= 0.05)
    assert bool(turns) == (abs(turn) >= math.radians(0.05))
    way = 0j
    if slides:
        (x0, y0), (x1, y1) = slides[0]
        way = complex(x1 - x0, y1 - y0) / math.hypot(x1 - x0, y1 - y0)
    sense = 0.0
    if turns:
        (x0, y0), (x1, y1), (x2, y2) = turns[0][0], turns[0][1], turns[0][-1]
        # positive for a bend to the right where y points down: clockwise
        sense = math.copysign(1.0, (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1))
    pivot = complex(length, 0)
    ahead = complex(-math.cos(now), -math.sin(now))  # toward the spindle: up
    stays = 0 - point * ahead + way * abs(slide)
    ahead *= complex(math.cos(abs(turn)), sense * math.sin(abs(turn)))
    tip = stays + point * ahead
    assert abs(tip - pivot) == pytest.approx(wanted, abs=0.08)
    out = (tip - pivot) / abs(tip - pivot)
    offset = math.degrees(
        math.atan2((ahead * out.conjugate()).imag, (ahead * out.conjugate()).real)
    )
    assert offset == pytest.approx(beta, abs=0.08)


@settings(max_examples=60, deadline=None)
@given(
    slot=st.floats(-45.0, 45.0),
    slide=st.floats(-15.0, 15.0),
    turn=st.floats(-9.0, 9.0),
    point=st.sampled_from([0.0, 9.5, 30.0]),
)
@example(slot=45.0, slide=-15.0, turn=9.0, point=30.0)
@example(slot=-45.0, slide=15.0, turn=-9.0, point=30.0)
def test_labels_stay_inside(slot: float, slide: float, turn: float, point: float) -> None:
    """Each label lies within the view box, and apart from the others."""
    found = picture(slot, slot, slide, turn, point)
    top, low = found.span
    boxes = []
    for word in found.words:
        wide = 1.04 * width_mm(word.text, LETTER) / MM_PER_POINT
        left = word.at[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[word.anchor]
        boxes.append((left, word.at[1] - LETTER, left + wide, word.at[1] + 2.0))
    for left, upper, right, lower in boxes:
        assert left >= 0
        assert right <= WIDTH
        assert top <= upper
        assert lower <= min(low + 0.01, HEIGHT)
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_the_title_says_the_same_in_words() -> None:
    """Who cannot see the drawing hears the moves."""
    svg = str(picture(24.0, 24.0, 2.0, 1.0, 0.0).svg())
    assert "Slide it. Turn it.</title>" in svg
    assert ">1: 2.0 mm<" in svg
    assert ">2: 1.0°<" in svg
