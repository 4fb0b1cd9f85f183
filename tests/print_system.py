"""A print system for tests: a private CUPS scheduler with a queue that prints into a file.

It has folders, a port and a log of its own, and stops with the test. The queue is set, as an
owner's may be, to fit every sheet to the page, to mirror it and to print on both sides.
"""

from __future__ import annotations

import contextlib
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

SCHEDULER = shutil.which("cupsd", path="/usr/sbin:/sbin:/usr/bin:/bin")
FILTER = Path("/usr/lib/cups/filter/pdftopdf")
MISSING = (
    ""
    if SCHEDULER and FILTER.exists() and shutil.which("lp")
    else "needs Debian's cups, cups-filters and cups-client"
)

SIZES = {"A4": (595, 842), "Letter": (612, 792)}
"""Papers of the queue [pt]."""

DRIVER = f"""*PPD-Adobe: "4.3"
*FormatVersion: "4.3"
*FileVersion: "1.0"
*LanguageVersion: English
*LanguageEncoding: ISOLatin1
*PCFileName: "TEST.PPD"
*Manufacturer: "Test"
*Product: "(Test)"
*ModelName: "Test"
*ShortNickName: "Test"
*NickName: "Printer of a test, takes PDF"
*PSVersion: "(3010.000) 0"
*LanguageLevel: "3"
*ColorDevice: False
*DefaultColorSpace: Gray
*FileSystem: False
*cupsVersion: 1.0
*cupsFilter: "application/vnd.cups-pdf 0 -"
*OpenUI *PageSize/Page Size: PickOne
*OrderDependency: 10 AnySetup *PageSize
*DefaultPageSize: A4
{chr(10).join(f'*PageSize {name}/{name}: ""' for name in SIZES)}
*CloseUI: *PageSize
*OpenUI *PageRegion/Page Region: PickOne
*OrderDependency: 10 AnySetup *PageRegion
*DefaultPageRegion: A4
{chr(10).join(f'*PageRegion {name}/{name}: ""' for name in SIZES)}
*CloseUI: *PageRegion
*DefaultImageableArea: A4
{chr(10).join(f'*ImageableArea {n}/{n}: "18 18 {w - 18} {h - 18}"' for n, (w, h) in SIZES.items())}
*DefaultPaperDimension: A4
{chr(10).join(f'*PaperDimension {name}/{name}: "{w} {h}"' for name, (w, h) in SIZES.items())}
*OpenUI *Duplex/Two-sided: PickOne
*OrderDependency: 20 AnySetup *Duplex
*DefaultDuplex: DuplexNoTumble
*Duplex None/Off: ""
*Duplex DuplexNoTumble/Long edge: ""
*CloseUI: *Duplex
"""

QUEUE = """<Printer {name}>
DeviceURI file://{folder}/{name}.pdf
State Idle
Accepting Yes
Shared No
Option print-scaling fit
Option fit-to-page true
Option fitplot true
Option mirror true
</Printer>
"""

SETTINGS = """LogLevel warn
Listen 127.0.0.1:{port}
Browsing No
WebInterface No
IdleExitTimeout 0
<Location />
Order allow,deny
Allow from 127.0.0.1
</Location>
<Policy default>
<Limit All>
Order allow,deny
Allow from 127.0.0.1
</Limit>
</Policy>
"""

PLACES = """ServerRoot {folder}/etc
CacheDir {folder}/cache
StateDir {folder}/run
RequestRoot {folder}/spool
TempDir {folder}/spool/tmp
AccessLog {folder}/access_log
ErrorLog {folder}/error_log
PageLog {folder}/page_log
FileDevice Yes
SystemGroup root
"""


def _free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


@contextlib.contextmanager
def print_system(*names: str) -> Iterator[tuple[str, Path]]:
    """A running scheduler with queues of these names: its address, and where their prints land.

    What a queue prints is `NAME.pdf` in the folder.
    """
    folder = Path(tempfile.mkdtemp(prefix="protractor-cups-"))
    folder.chmod(0o755)  # the filters run as a user of their own
    for place in ("etc/ppd", "cache", "run/certs", "spool/tmp"):
        (folder / place).mkdir(parents=True)
    port = _free_port()
    for name in names:
        (folder / f"etc/ppd/{name}.ppd").write_text(DRIVER)
    queues = "".join(QUEUE.format(name=name, folder=folder) for name in names)
    (folder / "etc/printers.conf").write_text(queues)
    (folder / "etc/cupsd.conf").write_text(SETTINGS.format(port=port))
    (folder / "etc/cups-files.conf").write_text(PLACES.format(folder=folder))
    settings = ("-c", folder / "etc/cupsd.conf", "-s", folder / "etc/cups-files.conf")
    server = subprocess.Popen(
        [str(SCHEDULER), "-f", *map(str, settings)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        wait_for(lambda: server.poll() is not None or _answers(port), "the scheduler")
        assert server.poll() is None, (folder / "error_log").read_text()
        yield f"127.0.0.1:{port}", folder
    finally:
        server.terminate()
        server.wait(10)
        shutil.rmtree(folder)


def _answers(port: int) -> bool:
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
        return True
    return False


def wait_for(done: object, what: str) -> None:
    """Waits until something is so, for up to 20 s."""
    for _ in range(1000):
        if done():  # type: ignore[operator]
            return
        time.sleep(0.02)
    raise AssertionError(f"{what} does not come")
