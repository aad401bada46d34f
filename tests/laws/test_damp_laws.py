"""What vapour does to a winter: it settles, it follows the crop, it dries with the vents."""

from __future__ import annotations

import numpy as np
import pytest

from greenhouse_sim.season import run
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.damp import Line, damp_of, with_vapour
from greenhouse_sim.season.many import vapour_function
from greenhouse_sim.season.run import held_ideally, run_seasons
from winters_at_hand import SAMPLES, demo, winter

CLOCK = np.arange(24)


@pytest.mark.parametrize("sample", [SAMPLES[1], SAMPLES[4]])
def test_another_round_changes_little(sample: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The need after one more round lies within 0.1 %."""
    scenario = demo()
    prepared = [winter(scenario, sample)]
    needs = []
    for rounds in (run.ROUNDS, run.ROUNDS + 1):
        monkeypatch.setattr(run, "ROUNDS", rounds)
        needs.append(held_ideally(scenario, prepared, "compiled")[1][0].total[at.HEAT_J])
    assert needs[1] == pytest.approx(needs[0], rel=1e-3)


def test_books_hold_the_vapours_heat() -> None:
    """LATENT in the tally is the heat that was taken from the air, and sun stays what it was."""
    found = winter(demo())
    takes = np.full(len(found.drive.t_out), 1000.0)
    changed = with_vapour(found.walk, found.drive, Line(takes, 0.0 * takes))
    assert changed.known.total[at.LATENT_J] == pytest.approx(1000.0 * 3600.0 * takes.size)
    assert changed.known.total[at.SUN_J] == found.walk.known.total[at.SUN_J]
    given = changed.hours.push_w - found.walk.hours.push_w
    assert given == pytest.approx(found.drive.sun_latent_w - 1000.0, abs=1e-6)


def test_both_engines_walk_the_same_vapour() -> None:
    """Interpreted and compiled agree to the last bit."""
    found = winter(demo())
    trace = np.zeros((len(found.drive.t_out), at.TRACE_SIZE))
    trace[:, at.TRACE.index("air_C")] = 6.0 + 8.0 * np.sin(np.arange(len(trace)) / 3.8)
    trace[::7, at.TRACE.index("vent_W")] = 4000.0
    ways = [
        damp_of(found.moisture, found.walk, found.drive, trace, vapour_function(engine))
        for engine in ("python", "compiled")
    ]
    for one, other in zip(ways[0][:4], ways[1][:4], strict=True):
        assert np.array_equal(one, other)


def test_more_crop_more_vapour_and_damper_air() -> None:
    """From bare soil to full beds, over a whole winter."""
    latent, damp = [], []
    for share in (0.0, 0.4, 0.9):
        scenario = demo(greenhouse__planted_share=share)
        settled, ideal = held_ideally(scenario, [winter(scenario)], "compiled")
        latent.append(ideal[0].total[at.LATENT_J])
        assert settled[0].damp is not None
        damp.append(settled[0].damp.humidity.mean())
    assert latent == sorted(latent) and damp == sorted(damp)
    assert latent[0] > 0.0  # moist soil evaporates too


def test_a_cold_house_evaporates_less_and_its_books_close() -> None:
    """A stove far too small against an ideal heater: less vapour, energy closed to rounding."""
    scenario = demo()
    cold, held = run_seasons(scenario, ["wood stove, small", "ideal"], [winter(scenario).weather])
    assert cold.ledger["latent_loss_kWh"] < 0.8 * held.ledger["latent_loss_kWh"]
    assert cold.ledger["latent_loss_kWh"] > 0.0
    assert cold.ledger["balance_error"] < 1e-9
