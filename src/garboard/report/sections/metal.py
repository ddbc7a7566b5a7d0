"""Plating, anodes and potentials: drawn and tabled."""

from garboard.boat.hull import Hull
from garboard.catalogue.naming import named
from garboard.drawings.maps import Thickness, thickness_map
from garboard.drawings.metal import (
    AnodeBar,
    Gauged,
    PanelBar,
    PotentialMark,
    anode_picture,
    life_line,
    potential_scale,
    thickness_strip,
)
from garboard.methods import anodes as anode_methods
from garboard.methods import potentials as potential_methods
from garboard.methods.panels import Panel, panels
from garboard.methods.result import Result
from garboard.notebook.body import Place
from garboard.report.document import Block, Column, Drawing, Paragraph, Table, plain
from garboard.report.sections.case import Case
from garboard.report.sections.words import capital, counted, measure


def plating(case: Case, hull: Hull | None) -> list[Block]:
    """Every panel: original, now, least, loss, rate and the life it leaves; a map, strips, the worst panel's life."""
    found = panels(case.survey)
    if not found:
        return []
    used = tuple(dict.fromkeys(each for panel in found for each in panel.used))
    spots = [spot for panel in found for spot in panel.spots]
    blocks: list[Block] = [
        Paragraph(
            text=plain(
                f"{counted(len(spots), 'reading')} in {counted(len(found), 'panel')}, a panel being a metre of "
                "one side. A reading proves the spot that was read, not the plate between; pits are not seen "
                "by a thickness gauge."
            ),
            rests_on=used,
        )
    ]
    if hull and any(spot.place.station_m is not None for spot in spots):
        view = thickness_map(hull, [_thickness(spot_panel, i) for spot_panel in found for i in range(len(spot_panel.spots))])  # fmt: skip
        blocks.append(
            Drawing(
                svg=view.svg, alt=view.alt, caption=view.title, number=next(case.figures),
                label="figure-thickness", rests_on=used,
            )
        )  # fmt: skip
    blocks += _strips(found, case)
    blocks += _life(found, case)
    blocks.append(_table(found, case, used))
    return blocks


def anodes(case: Case) -> list[Block]:
    """Each anode as found."""
    found = anode_methods.anodes(case.survey)
    if not found:
        return []
    by_what = {
        result.what: result for result in case.results if result.method == "anodes.eaten_pct"
    }
    bars = []
    for each in found:
        words = _words(each.place, by_what)
        bars.append(AnodeBar(label=_label(each.place), eaten_pct=each.eaten_pct, words=words))
    return [
        Drawing(
            svg=anode_picture("Anodes as found", bars),
            alt="; ".join(f"{bar.label}: {'not told' if bar.eaten_pct is None else f'{bar.eaten_pct:.0f} % eaten'}" for bar in bars),
            caption="Anodes as found, over their outline when new",
            number=next(case.figures),
            label="figure-anodes",
            rests_on=tuple(dict.fromkeys(each.entry for each in found)),
        )
    ]  # fmt: skip


def potentials(case: Case) -> list[Block]:
    """All potentials on one scale over the bands of the hull."""
    found = [each for each in potential_methods.potentials(case.survey) if each.potential_mv is not None]  # fmt: skip
    if not found:
        return []
    band = potential_methods.band_of(case.boat)
    marks = [
        PotentialMark(
            label=_label(each.place),
            potential_mv=each.potential_mv or 0.0,
            uncertainty_mv=each.uncertainty_mv,
            words="without anodes" if each.is_free else "",
        )
        for each in found
    ]
    return [
        Drawing(
            svg=potential_scale(
                "Potentials against silver/silver chloride in sea water",
                marks,
                electrode="Ag/AgCl/seawater",
                under_mv=band[0].limit if band else None,
                over_mv=band[1].limit if band else None,
            ),
            alt="; ".join(f"{mark.label}: {mark.potential_mv:.0f} mV" for mark in marks),
            caption="Potentials of the underwater metal, given for the silver/silver chloride sea-water electrode",
            number=next(case.figures),
            label="figure-potentials",
            rests_on=tuple(dict.fromkeys(each.entry for each in found)),
        )
    ]


def _thickness(panel: Panel, index: int) -> Thickness:
    spot = panel.spots[index]
    beyond = panel.least_limit_mm is not None and spot.thickness_mm < panel.least_limit_mm
    return Thickness(
        place=spot.place,
        measured_mm=spot.thickness_mm,
        as_read=f"{spot.thickness_mm:.1f}",
        original_mm=panel.original_mm,
        mark="beyond" if beyond else "",
    )


def _strips(found: tuple[Panel, ...], case: Case) -> list[Block]:
    """One strip for each part and side that was read over four metres or more."""
    groups: dict[tuple[str, str | None], list[Panel]] = {}
    for panel in found:
        if panel.metre is not None:
            groups.setdefault((panel.part, panel.side), []).append(panel)
    blocks: list[Block] = []
    for (part, side), group in groups.items():
        if len(group) < 4:
            continue
        title = capital(named(Place(part=part, side=side)))  # type: ignore[arg-type]
        bars = [
            PanelBar(
                label=str(panel.metre),
                original_mm=panel.original_mm,
                now_mm=panel.mean_mm,
                least_mm=panel.least.thickness_mm,
                earlier_mm=panel.earlier_mm,
                limit_mm=panel.limit_mm,
            )
            for panel in sorted(group, key=lambda each: each.metre or 0)
        ]
        blocks.append(
            Drawing(
                svg=thickness_strip(title, bars),
                alt=f"{title}, mean thickness by metre from the stem: " + "; ".join(f"{bar.label}: {bar.now_mm:.2f} mm" for bar in bars if bar.now_mm is not None),
                caption=f"Thickness by metre from the stem: {title}",
                number=next(case.figures),
                label=f"figure-strip-{part}-{side or 'whole'}",
                rests_on=tuple(dict.fromkeys(each for panel in group for each in panel.used)),
            )
        )  # fmt: skip
    return blocks


def _life(found: tuple[Panel, ...], case: Case) -> list[Block]:
    """The life of the panel that has the shortest."""
    lived = [
        p for p in found if p.wastage and p.wastage.shortest_y is not None and p.mean_mm is not None
    ]
    if not lived:
        return []
    panel = min(lived, key=lambda each: (each.wastage and each.wastage.shortest_y) or 0.0)
    wastage = panel.wastage
    assert wastage is not None
    assert panel.earlier_mm is not None
    assert panel.mean_mm is not None
    assert panel.limit_mm is not None
    now = max(spot.at for spot in panel.spots)
    year = now.year + (now.timetuple().tm_yday - 1) / 365.25
    title = f"{capital(named(panel.place))}, {panel.words}"
    return [
        Drawing(
            svg=life_line(
                title,
                Gauged(year=year - wastage.years, thickness_mm=panel.earlier_mm, uncertainty_mm=panel.mean_u_mm or 0.0),
                Gauged(year=year, thickness_mm=panel.mean_mm, uncertainty_mm=panel.mean_u_mm or 0.0),
                limit_mm=panel.limit_mm,
                shortest_y=wastage.shortest_y or 0.0,
                life_y=wastage.life_y,
            ),
            alt=f"{title}: {panel.earlier_mm:.2f} mm at the earlier survey, {panel.mean_mm:.2f} mm now, limit {panel.limit_mm:.2f} mm; shortest likely life {wastage.shortest_y:.1f} years.",
            caption=f"The panel with the shortest likely life: {title}",
            number=next(case.figures),
            label="figure-life",
            rests_on=(*panel.used, *panel.earlier_used),
        )
    ]  # fmt: skip


def _table(found: tuple[Panel, ...], case: Case, used: tuple[str, ...]) -> Table:
    worst = _worst_by_panel(case.results)
    rows = []
    for panel in found:
        rate, life = "", ""
        if panel.wastage:
            rate = f"{panel.wastage.rate_mm_per_y:.2f}" if panel.wastage.is_shown else "not shown"
            life = (
                f"{panel.wastage.shortest_y:.0f} y" if panel.wastage.shortest_y is not None else ""
            )
        loss, local = _losses(panel)
        rows.append(
            (
                plain(f"{capital(named(Place(part=panel.part)))}, {panel.words}"),
                plain("not known" if panel.original_mm is None else f"{panel.original_mm:.1f}"),
                plain(measure(panel.mean_mm, panel.mean_u_mm, "").strip("\N{NO-BREAK SPACE}")),
                plain(f"{panel.least.thickness_mm:.2f}"),
                plain(loss),
                plain(local),
                plain(rate),
                plain(life),
                plain(worst.get((panel.part, panel.side, panel.metre), "cannot say")),
            )
        )
    return Table(
        caption="Plating panel by panel: thickness in mm, loss in per cent of the original, rate in mm a year, and the shortest likely life",
        number=next(case.tables),
        columns=(
            Column(name="Panel", share=3.0),
            Column(name="Original", align="right", share=0.9),
            Column(name="Mean now", align="right", share=1.3),
            Column(name="Least", align="right", share=0.8),
            Column(name="Mean loss", align="right", share=0.8),
            Column(name="Local loss", align="right", share=0.8),
            Column(name="Rate", align="right", share=0.9),
            Column(name="Life", align="right", share=0.7),
            Column(name="Judged", share=1.1),
        ),
        rows=tuple(rows),
        label="table-plating",
        rests_on=used,
    )


def _losses(panel: Panel) -> tuple[str, str]:
    if panel.original_mm is None:
        return "", ""
    local = 100 * (1 - panel.least.thickness_mm / panel.original_mm)
    mean = "" if panel.mean_mm is None else f"{100 * (1 - panel.mean_mm / panel.original_mm):.0f}"
    return mean, f"{local:.0f}"


def _worst_by_panel(results: tuple[Result, ...]) -> dict[tuple[str, str | None, int | None], str]:
    """By panel, the worst verdict of its mean and local loss."""
    order = ("within", "cannot say", "at the limit", "beyond")
    worst: dict[tuple[str, str | None, int | None], str] = {}
    for result in results:
        place = result.place
        if (
            result.method != "plating.diminution_pct"
            or place is None
            or result.verdict not in order
        ):
            continue
        metre = None if place.station_m is None else int(place.station_m)
        key = (place.part, place.side, metre)
        worst[key] = max(worst.get(key, "within"), result.verdict, key=order.index)
    return worst


def _label(place: Place) -> str:
    where = f"{place.station_m:.1f} m" if place.station_m is not None else place.words
    side = place.side or ""
    number = str(place.number or "")
    return " ".join(each for each in (side, number, where) if each) or named(place)


def _words(place: Place, by_what: dict[str, Result]) -> str:
    label = _label(place)
    found = next((r for what, r in by_what.items() if what.endswith(label) or label in what), None)
    return found.verdict if found else ""
