"""The smallest size that keeps a promise."""

from __future__ import annotations

import math

import pytest

import greenhouse_sim as gs
from greenhouse_sim.heater.heater import heater_numbers
from greenhouse_sim.plans.foreseen import Work, foreseen, prepared, tasks_of, totals
from greenhouse_sim.plans.parts import PARTS, parts_of, size_now, standard_sizes, with_size
from greenhouse_sim.plans.sizing import (
    CLOSE,
    Sized,
    Target,
    Tried,
    first_kept,
    halved,
    nearest,
    set_back,
    sizes,
    trials,
)
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.run import Winter, read_winters
from winters_at_hand import demo

FILES = ["tamarack_flats_mild.csv", "tamarack_flats_severe.csv"]
BOILER = "outdoor boiler"
COMPILED = Work("compiled")
TARGET = Target(12.0, None, 0.9)


@pytest.fixture(scope="module")
def farm() -> gs.Scenario:
    """The demo farm with its boiler, six weeks of winter."""
    return demo(heater=BOILER, site__season={"start": "12-20", "end": "01-31"})


@pytest.fixture(scope="module")
def winters(farm: gs.Scenario) -> tuple[Winter, ...]:
    """Two winters as the grower expects them."""
    return foreseen(farm, prepared(farm, read_winters(farm, FILES)), COMPILED)


@pytest.fixture(scope="module")
def found(farm: gs.Scenario, winters: tuple[Winter, ...]) -> dict[str, Sized]:
    """The boiler's parts by name."""
    done: list[int] = []
    parts = parts_of(BOILER)
    answer = sizes(farm, winters, parts, TARGET, Work("compiled", None, done.append))
    most = sum(trials(part) + 1 for part in parts) * len(winters)
    assert sum(done) <= most
    return {one.part.name: one for one in answer}


def tried(size: float, kept: int, enough: bool, ups: float = 0.0, cold: float = 0.0) -> Tried:
    return Tried(size, kept, enough, ups, cold, 0.0)


def test_a_share_of_winters_is_a_whole_number_of_them() -> None:
    assert [Target(1.0, None, 0.9).winters(n) for n in (1, 3, 10, 30)] == [1, 3, 9, 27]
    assert Target(1.0, None, 0.5).winters(3) == 2


def test_halving_finds_where_a_step_is() -> None:
    """Kept from 7.3 up: found within a hundredth, and kept."""

    def attempt(size: float) -> Tried:
        return tried(size, int(size >= 7.3), size >= 7.3)

    answer = halved(attempt, attempt(4.0), attempt(16.0))
    assert answer.enough
    assert 7.3 <= answer.size <= 7.3 * CLOSE


def test_what_keeps_best_and_where_larger_is_worse() -> None:
    standard = [
        tried(1, 0, False, 9, 50), tried(2, 3, True, 4, 30), tried(3, 1, False, 8, 10),
        tried(4, 3, True, 4, 5),
    ]  # fmt: skip
    assert first_kept(standard) == standard[1]
    assert nearest(standard, TARGET) == standard[1]
    assert nearest(standard[2:3] + standard[:1], TARGET) == standard[2]
    assert set_back(standard, TARGET) == (standard[1], standard[2])
    # fewer hours are asked for: those only fall, but winters kept do not only grow
    assert set_back(standard, Target(None, 20.0, 0.9)) == (standard[1], standard[2])
    assert set_back(standard[:2], TARGET) is None


def test_a_size_is_the_heater_with_its_key_changed(farm: gs.Scenario) -> None:
    """With the boiler's firebox doubled: as by the scenario's own override, nothing else."""
    part = PARTS["boiler firebox"]
    now = size_now(farm, part)
    assert now == pytest.approx(0.7079)
    changed = with_size(farm, part, 2.0 * now).heater
    by_hand = farm.with_(**{"heater.firebox_volume": f"{2.0 * now} m^3"}).heater
    numbers = [heater_numbers(one.kind, one.count, one.overrides) for one in (changed, by_hand)]
    for name, value in numbers[0]._asdict().items():
        assert value == pytest.approx(getattr(numbers[1], name)), name


def test_a_stove_grows_as_the_catalogue_does() -> None:
    """From the small stove's firebox to the large one's: output and iron within a tenth."""
    small = demo(heater="wood stove, small")
    grown = with_size(small, PARTS["stove firebox"], 0.09911).heater
    ours = heater_numbers(grown.kind, 1, grown.overrides)
    large = heater_numbers("wood stove, large")
    for name in ("charge_kg", "burn_max_w", "burn_min_w", "store_c", "skin_w_k"):
        assert getattr(ours, name) == pytest.approx(getattr(large, name), rel=0.1), name


def test_a_pile_loses_by_its_surface() -> None:
    """The small pile in the large one's size: jacket by (60/8)^(2/3), pipe by volume."""
    heater = with_size(demo(heater="compost pile, small"), PARTS["pile"], 60.0).heater
    ours, large = (
        heater_numbers(heater.kind, 1, heater.overrides),
        heater_numbers("compost pile, large"),
    )
    assert ours.out_w_k == pytest.approx(large.out_w_k, rel=0.01)
    assert ours.coil_w_k == pytest.approx(large.coil_w_k)
    assert ours.dry_kg == pytest.approx(large.dry_kg)


def test_two_are_two(farm: gs.Scenario) -> None:
    assert with_size(farm, PARTS["count"], 2.0).heater.count == 2


def test_the_smallest_is_between_the_standard_sizes(found: dict[str, Sized]) -> None:
    one = found["boiler firebox"]
    assert one.smallest is not None
    assert one.next_smaller is not None
    assert one.next_larger is not None
    assert one.smallest.enough
    assert not one.next_smaller.enough
    assert one.next_larger.enough
    assert one.next_smaller.size < one.smallest.size <= one.next_larger.size
    assert one.now.size == pytest.approx(0.7079)


def test_the_smallest_keeps_and_a_little_less_does_not(
    farm: gs.Scenario, winters: tuple[Winter, ...], found: dict[str, Sized]
) -> None:
    """Run again, by the scenario's own override."""
    one = found["boiler firebox"]
    assert one.smallest is not None
    ups = []
    for size in (one.smallest.size, one.smallest.size / CLOSE / 1.001):
        changed = farm.with_(**{"heater.firebox_volume": f"{size!r} m^3"})
        total = totals(tasks_of(changed, winters, BOILER), COMPILED)
        ups.append(float(total[:, at.WAKEUPS].max()))
    assert ups[0] == one.smallest.wakeups <= 12.0
    assert ups[1] > 12.0


def test_two_boilers_are_enough(found: dict[str, Sized]) -> None:
    one = found["count"]
    assert one.smallest is not None
    assert one.smallest.size == 2.0
    assert [tried.size for tried in one.standard] == [1.0, 2.0, 3.0]


def test_what_no_size_keeps_has_a_best(farm: gs.Scenario, winters: tuple[Winter, ...]) -> None:
    (one,) = sizes(farm, winters, [PARTS["tank"]], Target(0.0, 0.0, 1.0), COMPILED)
    assert one.smallest is None
    assert one.best in one.standard
    most = (max(tried.wakeups for tried in one.standard), max(t.cold_h for t in one.standard))
    shares = [tried.wakeups / most[0] + tried.cold_h / most[1] for tried in one.standard]
    assert one.best == one.standard[shares.index(min(shares))]


@pytest.mark.parametrize("name", sorted(set(PARTS) - {"count"}))
def test_standard_sizes_rise(name: str) -> None:
    found = standard_sizes(PARTS[name])
    assert len(found) >= 2
    assert all(math.isfinite(size) and size > 0.0 for size in found)
    assert list(found) == sorted(set(found))
