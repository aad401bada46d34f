"""The woodpile in tables: what to have ready, what must be left by date, which wood."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from greenhouse_sim.plans.pile import months
from greenhouse_sim.plans.woodpile import Ready, Woodpile, cost, pellets
from greenhouse_sim.report.fuel_words import Measure
from greenhouse_sim.report.season_tables import month_name
from greenhouse_sim.report.spread import spread
from greenhouse_sim.report.words import Units, day, few, whole
from greenhouse_sim.units import FT_M

if TYPE_CHECKING:
    from rich.table import Table

    from greenhouse_sim.heater.fuel import Fuel

MOST_WOODS = 12
"""So many other woods are printed; the files have all."""


def unit_of(found: Woodpile, units: Units) -> Measure:
    """The measure in which the pile is told: cords, stacked m³, tons."""
    return unit_of_fuel(found.fuel, units)


def unit_of_fuel(fuel: Fuel, units: Units) -> Measure:
    """The measure in which a pile of this fuel is told."""
    if fuel.cord_kg and fuel.stacked_kg_m3:
        by_cord = Measure("cords", 1.0 / fuel.cord_kg)
        return by_cord if units.us else Measure("m³ stacked", 1.0 / fuel.stacked_kg_m3)
    return Measure("tons" if units.us else "t", units.tons(1.0))


def name_of(ready: Ready, found: Woodpile) -> str:
    """Which winters a pile is enough for: "9 in 10 (27 of 30)"."""
    many = len(found.seasons)
    if many == 1:
        return "this winter"
    return f"{share_name(ready.cover.share)} ({ready.cover.winters} of {many})"


def share_name(share: float | None) -> str:
    """A share of winters in words: "half", "9 in 10", "the worst"."""
    if share is None:
        return "the worst"
    return "half" if share == 0.5 else f"{10.0 * share:.0f} in 10"


def kept(ready: Ready) -> str:
    """The winters that a pile is enough for, for the head of a column: "9 in 10 winters"."""
    share = ready.cover.share
    if share is None:
        return "this winter" if ready.cover.winters == 1 else "the worst winter"
    return "half the winters" if share == 0.5 else f"{share_name(share)} winters"


def ready_table(found: Woodpile, units: Units) -> Table:
    """One row a share of winters: how much to have ready, and what that is."""
    unit = unit_of(found, units)
    many = len(found.seasons) > 1
    table = grid(
        f"What to have ready, {unit.unit}" + (", by the winters it is enough for" if many else "")
    )
    table.padding = (0, 0, 0, 1)
    table.add_column("Enough for\nwinters" if many else "", no_wrap=True)
    heads = ["to have", *(_wood_heads(units) if found.kind == "wood" else _pellet_heads(units))]
    for head in [*heads, "half still there on", *_money_heads(found)]:
        table.add_column(head, justify="right")
    for one in found.ready:
        cells = _wood_cells(one, units) if found.kind == "wood" else _pellet_cells(one, units)
        table.add_row(
            name_of(one, found), few(unit.of(one.cover.amount)), *cells, _short(one.half),
            *_money_cells(one, found, unit),
        )  # fmt: skip
    return table


def _short(when: date) -> str:
    return f"{when.day}\u00a0{when:%b}"


def _wood_heads(units: Units) -> list[str]:
    if not units.us:
        return ["t", "stack, m", "ground, m²", "pickup loads"]
    return ["face cords", "short tons", "stack, ft", "ground, ft²", "pickup loads"]


def _wood_cells(one: Ready, units: Units) -> list[str]:
    held = one.stack
    if held is None:
        return [""] * len(_wood_heads(units))
    foot = FT_M if units.us else 1.0
    cells = [few(held.face_cords)] if units.us else []
    return [
        *cells, few(units.tons(one.cover.amount)), whole(held.length_m / foot),
        whole(held.footprint_m2 / foot / foot), str(held.pickup_loads),
    ]  # fmt: skip


def _pellet_heads(units: Units) -> list[str]:
    return ["bags of 40 lb" if units.us else "bags of 18 kg", "pallets", "deliveries"]


def _pellet_cells(one: Ready, units: Units) -> list[str]:
    bought = pellets(one.cover.amount)
    return [whole(bought.bags), str(bought.pallets), str(bought.deliveries)]


def _money_heads(found: Woodpile) -> list[str]:
    if found.own_kg is None:
        return ["all bought, $"] if found.price is not None else []
    priced = ["price, $"] if found.price is not None else []
    return ["own", "to buy", *priced]


def _money_cells(one: Ready, found: Woodpile, unit: Measure) -> list[str]:
    mix = found.mix(one.cover.amount)
    priced = []
    if found.price is not None:
        kg = one.cover.amount if found.own_kg is None else mix.buy_kg
        money = cost(kg, found.fuel, found.price)
        priced = ["unknown" if money is None else whole(money)]
    if found.own_kg is None:
        return priced
    return [few(unit.of(mix.own_kg)), few(unit.of(mix.buy_kg)), *priced]


def left_table(found: Woodpile, units: Units) -> Table:
    """Month by month: what is burnt, and what must still be left for the rest to last."""
    unit = unit_of(found, units)
    many = len(found.seasons) > 1
    table = grid(f"Through the winter, {unit.unit}, at the end of each month")
    table.add_column("Month")
    table.add_column("burnt" + (", middle" if many else ""), justify="right")
    if many:
        table.add_column("10 to 90 %", justify="right")
    table.add_column(
        "left of the pile" + (f" for {kept(found.ready[0])}" if many else ""), justify="right"
    )
    if many:
        for one in found.ready:
            table.add_column(f"must be left for {kept(one)}", justify="right")
    burnt = found.used.by_month()
    for name, _, after in months(found.used.days):
        month = spread([unit.of(float(kg)) for kg in burnt[name]])
        cells = [few(month.median)] + ([month.range(few)] if many else [])
        cells.append(few(unit.of(float(found.ready[0].left_kg[after]))))
        if many:
            cells += [few(unit.of(float(one.guide_kg[after]))) for one in found.ready]
        table.add_row(month_name(name[5:]), *cells)
    return table


def shown_woods(found: Woodpile) -> list[str]:
    """The scenario's own wood, then woods with drying data evenly over the heavy and light."""
    names = [one.species for one in found.woods if one.cut.effective_days is not None]
    step = max(1, len(names) // (MOST_WOODS - 1))
    some = names[::step][:MOST_WOODS]
    return some if found.fuel.name in some else [found.fuel.name, *some]


def woods_table(found: Woodpile, units: Units) -> Table:
    """Other woods, dry, in the same heater, and when each must be cut."""
    unit = unit_of(found, units)
    main = _main(found)
    table = grid(
        "Woods, dry (20 % water), in the same heater, and by when to have them split and stacked"
    )
    table.add_column("Wood")
    table.add_column(f"{unit.unit} for\n{kept(main)}", justify="right")
    table.add_column("heat, % of\nyour wood's", justify="right")
    table.add_column("by, to be safe", justify="right", no_wrap=True)
    table.add_column("by, likely enough", justify="right", no_wrap=True)
    chosen = shown_woods(found)
    first = found.used.days[0]
    for one in found.woods:
        if one.species not in chosen:
            continue
        by = [cut_text(when, first) for when in (one.cut.early, one.cut.day)]
        if one.cut.effective_days is None:
            by = ["no drying data known", ""]
        table.add_row(
            one.species,
            few(unit.of(main.cover.amount) * one.ratio.volume),
            whole(100.0 * one.ratio.heat),
            *by,
        )
    return table


def wet_table(found: Woodpile, units: Units) -> Table:
    """The scenario's wood at other moistures."""
    unit = unit_of(found, units)
    main = _main(found)
    own = unit.of(main.cover.amount)
    dry = next(one.ratio for one in found.wet if abs(one.moisture - 0.20) < 1e-9)
    table = grid(f"{found.fuel.name.capitalize()}, dry and wet")
    for head in (
        "water, % of the whole weight", f"{unit.unit} for the same heat in {kept(main)}",
        f"{unit.unit} more than at 20 %", "heat as it is run, %", "creosote",
    ):  # fmt: skip
        table.add_column(head, justify="right", max_width=20)
    for one in found.wet:
        more = own * (one.ratio.same_heat - dry.same_heat)
        table.add_row(
            f"{100.0 * one.moisture:.0f}", few(own * one.ratio.same_heat),
            few(more) if more > -0.05 else f"-{few(-more)}",
            whole(100.0 * one.ratio.heat / dry.heat), one.creosote,
        )  # fmt: skip
    return table


def _main(found: Woodpile) -> Ready:
    """The pile that other woods are told for: 90 % of winters, or the one winter."""
    return next((one for one in found.ready if one.cover.share == 0.9), found.ready[-1])


def day_text(when: date) -> str:
    """A day of the season: "15 January"."""
    return day(when.isoformat())


def cut_text(when: date | None, first: date) -> str:
    """A day before the season, with how many calendar years before where it is not the same."""
    if when is None:
        return "never dry here"
    back = first.year - when.year
    words = {0: "", 1: ", year before"}.get(back, f", {back} years before")
    return f"{when.day} {when:%b}{words}"


def grid(title: str) -> Table:
    """A plain table."""
    from rich import box
    from rich.table import Table

    return Table(title=title, title_justify="left", box=box.SIMPLE_HEAD, title_style="bold")


def rest_lines(found: Woodpile, units: Units) -> list[str]:
    """Until when a rest of the pile lasts, and what to order."""
    rest = found.rest
    if rest is None:
        return []
    unit = unit_of(found, units)
    many = len(rest.until)
    ends = sorted(when for when in rest.until if when is not None)
    had = f"{few(unit.of(rest.left_kg))} {unit.unit} on {day_text(rest.day)}"
    if not ends:
        return [f"{had}: lasts to the end of the season in {of_all(many)}."]
    lines = [f"{had}: {until_text(ends, many)}."]
    order = _orders([unit.of(kg) for kg in rest.short_kg], unit.unit)
    return [*lines, order]


def of_all(many: int) -> str:
    """Every winter, in words."""
    return "the one winter" if many == 1 else f"each of the {many} winters"


def until_text(ends: Sequence[date], many: int) -> str:
    """When a pile runs out: ``ends`` sorted, of so many winters; those without an end last."""
    if many == 1:
        return f"lasts until {day_text(ends[0])} in this winter"
    kept = many - len(ends)
    span = f"runs out between {day_text(ends[0])} and {day_text(ends[-1])}"
    if ends[0] == ends[-1]:
        span = f"runs out on {day_text(ends[0])}"
    if kept == 0:
        middle = ends[len(ends) // 2]
        return f"{span} (in the middle winter on {day_text(middle)})"
    return f"{span} in {len(ends)} of {many} winters, and lasts to the end in {kept}"


def _orders(short: Sequence[float], unit: str) -> str:
    from greenhouse_sim.plans.quantiles import covered

    if len(short) == 1:
        return f"To reach the end of the season, order {few(short[0])} {unit}."
    parts = [f"{few(one.amount)} ({share_name(one.share)})" for one in covered(list(short))]
    return f"To reach the end of the season order, in {unit} (winters): {', '.join(parts)}."
