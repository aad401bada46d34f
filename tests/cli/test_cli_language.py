"""What every command prints fits the page and tells units; what it draws has a title and units.

Each command is run once a unit system, on a month of a farm whose place, winters and wood have the
longest names that a reader may meet. Pictures are made as ever, but not painted.
"""

from __future__ import annotations

import ast
import io
import re
import sys
from collections.abc import Callable, Iterator
from contextlib import redirect_stderr, redirect_stdout
from datetime import timedelta
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from matplotlib.axis import Axis
from matplotlib.figure import Figure
from matplotlib.ticker import ScalarFormatter
from rich.cells import cell_len

from greenhouse_sim.cli import main
from greenhouse_sim.scenario import demo_path
from made_up_logs import farm as logged_farm
from made_up_logs import made, record
from package_tree import PACKAGE, tree
from study_at_hand import STUDY

WIDTH = 100
SAMPLES = ("tamarack_flats_mild.csv", "tamarack_flats_severe.csv")
WINTERS = (
    "north_field_station_corrected_and_gap_filled_by_the_extension_office_1998-99.csv",
    "northfieldstationcorrectedandgapfilledbytheextensionoffice.csv",
)
PLACE = "Winter Market Garden of the Growers' Cooperative of the Upper Tamarack Flats, North Field"
HEATER = "barrel stove, double"
LONGEST_WOOD = "northern white-cedar"
COMING = """# issued: 2027-01-12 16:00
time,t_air [degF],wind [mph],cloud [%]
2027-01-12 16:00,20,8,20
2027-01-12 19:00,12,6,10
2027-01-12 22:00,5,5,0
2027-01-13 01:00,0,5,0
2027-01-13 04:00,-5,4,0
2027-01-13 07:00,-8,4,0
2027-01-13 10:00,5,6,10
2027-01-13 13:00,18,8,10
"""
NORMALS = """[place]
name = "{place}"
latitude = 46.9
longitude = -96.8
elevation = "270 m"
utc_offset = -6
[normals]
mean_max = {{ unit = "degF", months = [17, 22, 35, 54, 69, 77, 82, 81, 71, 55, 37, 22] }}
mean_min = {{ unit = "degF", months = [-1, 4, 18, 33, 45, 56, 60, 58, 48, 36, 21, 7] }}
[winters]
count = 2
"""
TONIGHT = ("--forecast", "coming.csv", "--now", "48 degF", "--at", "2027-01-12 18:00")
PAIR = ("--heater", "rocket mass heater, medium", "--heater", "compost pile, medium")
TARGETS = ("--wakeups", "2", "--budget", "3000")
COMMANDS: dict[str, tuple[str, ...]] = {
    "new": ("new", "made.toml", "--yes"),
    "explain": ("explain", "farm.toml"),
    "run": ("run", "farm.toml"),
    "run --uncertain": ("run", "farm.toml", "--uncertain", "16"),
    "compare": ("compare", "farm.toml"),
    "compare --uncertain": ("compare", "farm.toml", *PAIR, "--uncertain", "16"),
    "heat": ("heat", "farm.toml"),
    "woodpile": ("woodpile", "farm.toml", "--own", "1 cord"),
    "woodpile --left": ("woodpile", "farm.toml", "--left", "1 cord", "--on", "2026-01-02"),
    "nights": ("nights", "farm.toml"),
    "away": ("away", "farm.toml", "--from", "2026-01-05 17:00", "--to", "2026-01-07 18:00"),
    "size": ("size", "farm.toml", "--wakeups", "5", "--cold-hours", "20"),
    "dates": ("dates", "farm.toml"),
    "faults": ("faults", "farm.toml"),
    "second": ("second", "farm.toml", "--heater", "pellet stove", "--below", "38 degF"),
    "costs": ("costs", "farm.toml"),
    "improve": ("improve", "farm.toml", *TARGETS),
    "worth": ("worth", "farm.toml"),
    "tonight": ("tonight", "farm.toml", *TONIGHT),
    "log": ("log", "farm.toml", "--on", "2026-01-10", "--list"),
    "review": ("review", "farm.toml", "--this-winter", WINTERS[1]),
    "fit": ("fit", "logged.toml", "--log", "log.csv", "--unheated"),
    "study": ("study", "study.toml"),
    "weather check": ("weather", "check", WINTERS[0]),
    "weather winters": ("weather", "winters", "normals.toml"),
}
NO_OUT = ("new", "explain", "weather winters")
NO_UNITS = ("new",)
JOURNAL = (
    ("--load", "full", "--at", "2025-12-24 21:30", "--woken"),
    ("--carried", "1 cord", "--at", "2025-12-23 10:00", "--minutes", "45"),
    ("--indoor", "-5 degF", "--at", "2025-12-26 06:00", "--note", "a cold morning " * 6),
    ("--cut-until", "2025-12-27 09:00", "--at", "2025-12-27 06:00"),
)
LOGGED = """[site]
weather = ["tamarack_flats_typical.csv"]
[greenhouse]
width = "30 ft"
length = "72 ft"
sidewall = "5 ft"
ridge = "13 ft"
[heater]
kind = "wood stove, large"
"""
OWN_UNITS = ("new", "explain")
"""Commands that tell what the file says, in the file's units."""
DEFINITIONS = (
    "128 ft³",
    "bags of 18 kg",
    "65 °F (18.3 °C)",
    "20 in cords",
    "/ft^2/week",
    "3 ft over the roof and 2 ft over anything within 10 ft",
)
"""What is told in one unit to everybody: a cord, a rule of the code, the form of a key."""
OTHER = {
    "us": r"°C|\bkW\b|\bm[²³]|\b\d+ (?:kg|L|m|cm|MWh|t)\b|W/m",
    "si": r"°F|Btu|\bmph\b|\bft[²³]?\b|\d (?:lb|gal|in deep|cords?|tons?)\b|face cord",
}
UNIT = re.compile(
    r"°[FC]|Btu|kWh|MWh|\bW\b|kW|hour|\bh\b|day|evening|cords|m³|tons?\b|\bt\b|dollars|%|times|"
    r"\bft|gal|\bL\b|factor|how many|winters|rings|share"
)
"""A word that says what is counted."""


class Said(NamedTuple):
    """What a command printed and drew."""

    out: str
    drawn: list[tuple[str, Figure]]
    """Each picture with the name of the function that drew it."""


Tell = Callable[[str, str], Said]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The farm with its winters, a forecast, normals, a log, a journal and a study."""
    place = tmp_path_factory.mktemp("language")
    samples = Path(__file__).parents[2] / "weather_samples"
    for sample, name in zip(SAMPLES, WINTERS, strict=True):
        (place / name).write_bytes((samples / sample).read_bytes())
    text = demo_path().read_text(encoding="utf-8")
    weather = text[text.index("weather = [") : text.index("]", text.index("weather = [")) + 1]
    for old, new in (
        (weather, f"weather = {list(WINTERS)}".replace("'", '"')),
        ('{ start = "10-01", end = "04-30" }', '{ start = "12-20", end = "01-20" }'),
        ('"Tamarack Flats"', f'"{PLACE}"'),
        ('"outdoor boiler"', f'"{HEATER}"'),
        ('"red oak"', f'"{LONGEST_WOOD}"\nprice = "250 /cord"\npile = "9 cord"'),
    ):
        assert old in text
        text = text.replace(old, new)
    (place / "farm.toml").write_text(text, encoding="utf-8")
    (place / "coming.csv").write_text(COMING, encoding="utf-8")
    (place / "normals.toml").write_text(NORMALS.format(place=PLACE), encoding="utf-8")
    study = STUDY.replace("tamarack_flats_typical.csv", WINTERS[0]).replace("Selkie Sound", PLACE)
    (place / "study.toml").write_text(study, encoding="utf-8")
    log_of_a_house(place)
    return place


def log_of_a_house(place: Path) -> None:
    """A thermometer's log of an unheated house, and the house."""
    log, _ = made(31, logged_farm(), record())
    rows = [
        f"{log.start + timedelta(hours=h, minutes=30):%m/%d/%Y %H:%M},{value * 1.8 + 32.0:.1f}"
        for h, value in enumerate(log.indoor_C)
        if not np.isnan(value)
    ]
    (place / "log.csv").write_text("\n".join(["Date Time,Temp (°F)", *rows]), encoding="utf-8")
    (place / "logged.toml").write_text(LOGGED, encoding="utf-8")


@pytest.fixture(scope="module")
def tell(folder: Path) -> Iterator[Tell]:
    """Run a command, once for each unit system, without painting its pictures."""
    kept: dict[tuple[str, str], Said] = {}
    drawn: list[tuple[str, Figure]] = []
    made_figure = Figure.__init__

    def began(figure: Figure, *given: Any, **named: Any) -> None:
        made_figure(figure, *given, **named)
        drawn.append((drawing_function(), figure))

    def painted(_: Figure, target: Any, **given: Any) -> None:
        Path(target).write_bytes(b"")

    def say(command: str, units: str) -> Said:
        if (command, units) not in kept:
            drawn.clear()
            words = list(COMMANDS[command])
            Path("made.toml").unlink(missing_ok=True)
            words += [] if command in NO_UNITS else ["--units", units]
            words += [] if command in NO_OUT else ["--out", f"out-{len(kept)}"]
            out, err = io.StringIO(), io.StringIO()
            with redirect_stdout(out), redirect_stderr(err), pytest.raises(SystemExit) as end:
                main(words)
            assert not end.value.code, err.getvalue()
            kept[command, units] = Said(out.getvalue(), list(drawn))
        return kept[command, units]

    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(folder)
        patch.setenv("COLUMNS", str(WIDTH))
        patch.setattr(Figure, "__init__", began)
        patch.setattr(Figure, "savefig", painted)
        for words in JOURNAL:
            with redirect_stdout(io.StringIO()), pytest.raises(SystemExit):
                main(["log", "farm.toml", *words])
        yield say


def drawing_function() -> str:
    """Who asks for a figure: the public function of the pictures that called for it."""
    frame = sys._getframe(1)
    while frame is not None:
        name, file = frame.f_code.co_name, Path(frame.f_code.co_filename)
        if file.parent.name == "charts" and file.stem != "style" and not name.startswith("_"):
            return f"{file.stem}.{name}"
        assert frame.f_back is not None
        frame = frame.f_back
    raise AssertionError


def drawing_functions() -> set[str]:
    """Every public function of the pictures that gives a figure."""
    found = set()
    for path in (PACKAGE / "report" / "charts").glob("[a-z]*.py"):
        for node in tree(f"report.charts.{path.stem}").body:
            if isinstance(node, ast.FunctionDef) and node.returns is not None:
                gives = ast.unparse(node.returns)
                if gives in ("Figure", "Figure | None") and path.stem != "style":
                    found.add(f"{path.stem}.{node.name}")
    return found


DEAR = ("improve", "compare --uncertain")
"""Long ones are asked in one unit system."""
ASKED = [
    (command, units)
    for command in COMMANDS
    for units in ("us", "si")
    if units == "us" or command not in DEAR
]
ALL = pytest.mark.parametrize(("command", "units"), ASKED)


@ALL
def test_every_line_fits_the_page(tell: Tell, command: str, units: str) -> None:
    """Within 100 columns, and no name or figure cut short."""
    lines = tell(command, units).out.splitlines()
    assert lines
    assert [line for line in lines if cell_len(line.rstrip()) > WIDTH] == []
    assert [line for line in lines if "…" in line] == []


@pytest.mark.parametrize(("command", "units"), [one for one in ASKED if one[0] not in OWN_UNITS])
def test_units_are_the_readers(tell: Tell, command: str, units: str) -> None:
    """No unit of the other system, but where a definition has it."""
    out = tell(command, units).out
    for words in DEFINITIONS:
        out = out.replace(words, "")
    assert re.findall(OTHER[units], out) == []


@ALL
def test_percent_signs_and_degrees_stand_apart(tell: Tell, command: str, units: str) -> None:
    """One way to write them: "20 %", "36 °F"; and no minus before nothing."""
    out = tell(command, units).out
    assert re.findall(r"\d(?:%|°[FC])", out) == []
    assert re.findall(r"(?<![\d.])[-−]0(?![\d.:])", out) == []


@ALL
def test_every_picture_has_its_subject_and_units(tell: Tell, command: str, units: str) -> None:
    for name, figure in tell(command, units).drawn:
        title = figure.get_suptitle() or figure.axes[0].get_title(loc="left")
        assert len(title.split()) >= 3, f"{name}: no title"
        assert not re.search(r"_|=|\bkey\b", title.replace(WINTERS[0], "")), f"{name}: {title}"
        for label in bare_axes(figure):
            raise AssertionError(f"{name}: an axis without a unit: {label!r}")


def bare_axes(figure: Figure) -> Iterator[str]:
    """Axes that count something and do not say what."""
    figure.canvas.draw_idle()
    for axes in figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            if not axes.axison or not counts(axis):
                continue
            label = axis.label.get_text() or axes.get_title(loc="left")
            label = label or figure.get_supylabel() or figure.get_supxlabel()
            if not UNIT.search(label):
                yield label


def counts(axis: Axis) -> bool:
    """Whether numbers stand at an axis: no names, no days, and not hidden."""
    shown = axis.get_visible() and axis.get_tick_params().get("labelleft", True)
    shown = shown and axis.get_tick_params().get("labelbottom", True)
    plain = isinstance(axis.get_major_formatter(), ScalarFormatter)
    return bool(shown and plain and len(axis.get_majorticklocs()))


def test_no_drawing_function_is_left_out(tell: Tell) -> None:
    drawn = {name for command in COMMANDS for name, _ in tell(command, "us").drawn}
    assert drawing_functions() == drawn
