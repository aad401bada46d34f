"""A card to print for the stove: tonight's times and loads in large letters, as one HTML page."""

from __future__ import annotations

from html import escape

from greenhouse_sim.plans.tonight import BEST, Tonight
from greenhouse_sim.report.away_words import amount
from greenhouse_sim.report.tonight_journal import by_loads, fuel_range, look_first
from greenhouse_sim.report.tonight_words import PERHAPS, clock, helpless, mind, span, steps
from greenhouse_sim.report.words import Units

STYLE = """
@page { size: A5 portrait; margin: 9mm }
body { font: 15px/1.35 Arial, Helvetica, sans-serif; color: black; background: white;
  max-width: 560px; margin: 12px auto }
h1 { font-size: 24px; margin: 0 0 2px }
p { margin: 6px 0 }
table { border-collapse: collapse; width: 100%; margin: 10px 0 }
th { text-align: left; font-size: 14px; font-weight: normal; border-bottom: 2px solid black }
td { font-size: 30px; font-weight: bold; padding: 7px 8px 7px 0; border-bottom: 1px solid gray }
td.air { font-size: 22px }
.box { border: 4px solid black; padding: 8px 12px; font-size: 28px; font-weight: bold }
.box small { display: block; font-size: 16px; font-weight: normal }
ul { font-size: 11px; line-height: 1.25; margin: 8px 0; padding-left: 16px }
"""


def tonight_card(found: Tonight, units: Units) -> str:
    """The card: HTML without scripts and without anything from elsewhere, with a line end."""
    site = escape(found.scenario.site.name)
    day = f"{found.at:%A}, {found.at.day} {found.at:%B %Y}"
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>Tonight: {site}</title><style>{STYLE}</style></head><body>",
        f"<h1>Tonight, {day}</h1>",
        f"<p>{site}: {escape(found.scenario.heater.kind)}</p>",
        _steps(found, units),
        _up(found, units),
        _now(found, units),
        f"<p>{_expected(found, units)}</p>",
        _alarm(found, units),
        "<ul>" + "".join(f"<li>{escape(text)}</li>" for text in mind()) + "</ul>",
        f"<p><small>Made {found.at.day} {found.at:%B %H:%M} from the forecast issued "
        f"{found.forecast.issued.day} {found.forecast.issued:%B %H:%M}. "
        f"{_source(found)}"
        "Look at the sky: if it turns colder than that, make a new card.</small></p>",
        "</body></html>",
    ]
    # a unit stays with its number at the end of a line
    page = "\n".join(part for part in parts if part).replace(" °", "\u00a0°")
    return page.replace(" lb", "\u00a0lb").replace(" kg", "\u00a0kg") + "\n"


def _steps(found: Tonight, units: Units) -> str:
    todo = steps(found)
    sets_air = any(one.air for one in todo)
    rows = [
        f"<tr><td>{clock(found, one.hour)}</td>"
        f"<td>{amount(one.load_kg, units) if one.load_kg > 0.0 else 'no load'}</td>"
        + (f'<td class="air">{escape(one.air) or "as usual"}</td>' if sets_air else "")
        + "</tr>"
        for one in todo
    ]
    if not rows:
        return '<p class="box">Nothing to load tonight</p>'
    heads = "<th>at</th><th>put in</th>" + ("<th>air</th>" if sets_air else "")
    return f"<table><tr>{heads}</tr>{''.join(rows)}</table>"


def _up(found: Tonight, units: Units) -> str:
    """Whether to get up, and whether that is enough, in one box."""
    if found.up is None and not found.helpless:
        return '<p class="box">Nobody needs to get up</p>'
    lines = []
    if found.up is not None:
        lines.append(f"Get up at {clock(found, found.up.hour)}")
        if found.way(BEST).under_limit < PERHAPS:
            limit = units.temperature(found.limit)
            lines.append(f"<small>or set the alarm at {limit} and get up only if it rings</small>")
    if found.helpless:
        lines.append(f"{'<br>' if lines else ''}Not enough tonight")
        lines.append(f"<small>{escape(helpless(found, units))}</small>")
    return f'<p class="box">{"".join(lines)}</p>'


def _expected(found: Tonight, units: Units) -> str:
    low = found.plan.lowest
    return (
        f"Coldest at the plants: <b>{units.temperature(low.forecast)}</b> about "
        f"{clock(found, found.plan.lowest_at)} ({span(low, units)}). Outside down to "
        f"{units.temperature(float(found.out.min()))}."
    )


def _now(found: Tonight, units: Units) -> str:
    """What burns now, where the card's loads count on it."""
    if found.night.task.heater.hand_fed < 0.5:
        return ""
    there = f"about {amount(found.now_kg, units)}" if found.now_kg > 0.0 else "nothing"
    doubt = fuel_range(found, units) if by_loads(found) else ""
    doubt = f" ({doubt} by the journal)" if doubt else ""
    warned = f" <b>{escape(look_first(found, units))}</b>" if look_first(found, units) else ""
    return (
        f"<p>Counts on <b>{there}</b>{doubt} in the fire at {found.at:%H:%M}; with more there, put "
        f"in no more than fits.{warned}</p>"
    )


def _source(found: Tonight) -> str:
    return f"{escape(found.forecast.source)}. " if found.forecast.source else ""


def _alarm(found: Tonight, units: Units) -> str:
    if found.night.task.heater.hand_fed < 0.5 or found.helpless:
        return ""
    return (
        f"<p>If the alarm shows under <b>{units.temperature(found.limit)}</b> at the plants: go, "
        f"load, open the air. Under {units.temperature(found.damage)} the crop is hurt.</p>"
    )
