"""Plating, anodes and potentials: drawn and tabled."""

from garboard.boat.hull import Hull
from garboard.catalogue.naming import capital, located, named
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
from garboard.methods.campaign import latest
from garboard.methods.panels import Panel, paint_words, panels
from garboard.methods.result import Result
from garboard.methods.written import signed
from garboard.methods.zone import place_words
from garboard.notebook.body import Place
from garboard.report.document import Block, Column, Drawing, Items, Paragraph, Table, Text, plain
from garboard.report.sections.case import Case
from garboard.report.sections.words import counted

_PIT_FIGURES = (
    ("pits.pit_share_pct", 0),
    ("pits.pit_floor_mm", 0),
    ("left", 0),
    ("pits.pitting_factor", 1),
)
_OF_A_PANEL = ("plating.diminution_pct", "wastage.shortest_life_y", "wastage.rate_mm_per_y")
# Verdicts from good to bad, for the one word a row of several ends in.
_WORSE = ("not comparable", "within", "cannot say", "at the limit", "beyond")


def plating(case: Case, hull: Hull | None) -> list[Block]:
    """Every panel: original, now, least, loss, rate and the life it leaves; strips, the worst panel's life, a map."""
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
                f"by a thickness gauge. {paint_words(spots)}".rstrip()
            ),
            rests_on=used,
        )
    ]
    blocks += _strips(found, case)
    blocks += _life(found, case)
    if hull and any(spot.place.station_m is not None for spot in spots):
        view = thickness_map(hull, [_thickness(spot_panel, i) for spot_panel in found for i in range(len(spot_panel.spots))])  # fmt: skip
        blocks.append(
            Drawing(
                svg=view.svg, alt=view.alt, caption=view.title, number=next(case.figures),
                label="figure-thickness", rests_on=used,
            )
        )  # fmt: skip
    blocks.append(_table(found, case, used))
    return blocks


def anodes(case: Case) -> list[Block]:
    """Each anode as found."""
    found = anode_methods.anodes(case.survey)
    if not found:
        return []
    told = [result for result in case.results if result.method == "anodes.eaten_pct"]
    bars = [
        AnodeBar(
            label=place_words(each.place),
            eaten_pct=each.eaten_pct,
            words=next((r.judged for r in told if r.what.endswith(place_words(each.place))), ""),
        )
        for each in found
    ]
    questions = dict.fromkeys(
        caveat for result in told if result.verdict == "beyond" for caveat in result.caveats
    )
    return [
        Drawing(
            svg=anode_picture("Anodes as found", bars),
            alt="; ".join(f"{bar.label}: {'not told' if bar.eaten_pct is None else f'{bar.eaten_pct:.0f} % eaten'}" for bar in bars),
            caption="Anodes as found, over their outline when new",
            number=next(case.figures),
            label="figure-anodes",
            rests_on=tuple(dict.fromkeys(each.entry for each in found)),
        ),
        *([Items(items=tuple(plain(question) for question in questions))] if questions else []),
    ]  # fmt: skip


def potentials(case: Case) -> list[Block]:
    """Each set of potentials on a scale over the bands of the hull."""
    sets: dict[str, list[potential_methods.Potential]] = {}
    for each in potential_methods.potentials(case.survey):
        if each.potential_mv is not None:
            sets.setdefault(each.entry, []).append(each)
    if not sets:
        return []
    # The table may be broken: it fills the page that the drawings leave.
    return [
        _potential_table(sets, case),
        *(_scale(entry, found, case) for entry, found in sets.items()),
    ]


def _potential_table(sets: dict[str, list[potential_methods.Potential]], case: Case) -> Table:
    judged = {
        (result.place, used): result.judged
        for result in case.results
        if result.method == "potentials.in_sea_water_mv"
        for used in result.used
    }
    number = case.methods["potentials.in_sea_water_mv"][0]
    rows = tuple(
        (
            plain(capital(_spot(each.place))),
            plain(case.survey.by_id[entry].body.mode or case.survey.by_id[entry].body.name),
            plain(signed(f"{each.read_mv:.0f}")),
            plain(signed(f"{each.potential_mv or 0.0:.0f} ± {2 * each.uncertainty_mv:.0f}")),
            plain(judged.get((each.place, entry), "")),
        )
        for entry, found in sets.items()
        for each in found
    )
    return Table(
        caption=f"Potentials in mV as read, and as a silver/silver chloride electrode in sea water would read them (method {number})",
        number=next(case.tables),
        columns=(
            Column(name="Where", share=4.2),
            Column(name="Read", share=1.1),
            Column(name="As read", align="right", share=0.8),
            Column(name="In sea water", align="right", share=1.0),
            Column(name="Judged", share=1.1),
        ),
        rows=rows,
        label="table-potentials",
        rests_on=tuple(sets),
    )


def _spot(place: Place) -> str:
    """A spot of underwater metal: side, station, and what was touched."""
    station = "" if place.station_m is None else f"{place.station_m:.1f} m"
    what = place.words or place_words(Place(part=place.part, number=place.number))
    return ", ".join(filter(None, (f"{place.side or ''} {station}".strip(), what)))


def _modes(case: Case) -> list[str]:
    """How the sets of potentials were read; one that tells a set from all others names it."""
    return [each.body.mode for each in latest(case.survey, "potential")]


def _scale(entry: str, found: list[potential_methods.Potential], case: Case) -> Drawing:
    body = case.survey.by_id[entry].body
    name = capital(body.name.replace("-", " "))
    if body.mode and _modes(case).count(body.mode) == 1:
        name = f"Potentials, {body.mode}"
    band = potential_methods.band_of(case.boat)
    marks = [
        PotentialMark(
            label=_spot(each.place),
            potential_mv=each.potential_mv or 0.0,
            uncertainty_mv=each.uncertainty_mv,
            words="without anodes" if each.is_free else "",
        )
        for each in found
    ]
    return Drawing(
        svg=potential_scale(
            name,
            marks,
            electrode="Ag/AgCl/seawater",
            under_mv=band[0].limit if band else None,
            over_mv=band[1].limit if band else None,
        ),
        alt=f"{name}: "
        + "; ".join(f"{mark.label}: {signed(f'{mark.potential_mv:.0f}')} mV" for mark in marks),
        caption=f"{name}, given for the silver/silver chloride sea-water electrode",
        number=next(case.figures),
        label=f"figure-potentials-{entry}",
        rests_on=(entry,),
    )


def pits(case: Case) -> list[Block]:
    """Each metre with pits: the deepest, what is left under it, how far pits run ahead of the mean."""
    rows: dict[Place, dict[str, Result]] = {}
    for result in case.results:
        if result.method.startswith("pits.") and result.place is not None:
            is_left = result.what.startswith("plate left")
            rows.setdefault(result.place, {})["left" if is_left else result.method] = result
    if not rows:
        return []
    return [
        Table(
            caption="Pits by metre: the deepest as a share of the plate, what is lost and left there in per cent of the original, and the pitting factor",
            number=next(case.tables),
            columns=(
                Column(name="Where", share=4.0),
                Column(name="Deepest, %", align="right", share=1.0),
                Column(name="Lost, %", align="right", share=1.0),
                Column(name="Left, %", align="right", share=1.0),
                Column(name="Pitting factor", align="right", share=1.0),
                Column(name="Judged", share=1.1),
            ),
            rows=tuple(_pit_row(place, row) for place, row in rows.items()),
            label="table-pits",
            rests_on=tuple(
                dict.fromkeys(
                    used for row in rows.values() for r in row.values() for used in r.used
                )
            ),
        )
    ]


def _pit_row(place: Place, row: dict[str, Result]) -> tuple[Text, ...]:
    where = Place(part=place.part, side=place.side, station_m=place.station_m)
    figures = [
        "" if result is None or result.value is None else f"{result.value:.{digits}f}"
        for name, digits in _PIT_FIGURES
        for result in (row.get(name),)
    ]
    # That a factor has no sense where the plate round the pits is whole says nothing of the pits.
    judged = [each for each in row.values() if each.method != "pits.pitting_factor"]
    worst = max(judged, key=lambda each: _WORSE.index(each.verdict), default=None)
    return (
        plain(capital(located(where))),
        *map(plain, figures),
        plain(worst.judged if worst else ""),
    )


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
    title = f"{capital(panel.name)}, {panel.words}"
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
            rate = f"{panel.wastage.rate_mm_per_y:.2f}" if panel.wastage.is_shown else "–"
            life = (
                f"{panel.wastage.shortest_y:.0f} y" if panel.wastage.shortest_y is not None else ""
            )
        loss, local = _losses(panel)
        rows.append(
            (
                plain(f"{capital(panel.name)}, {_where(panel)}"),
                plain("not known" if panel.original_mm is None else f"{panel.original_mm:.1f}"),
                plain(_mean(panel)),
                plain(f"{panel.least.thickness_mm:.2f}"),
                plain(loss),
                plain(local),
                plain(rate),
                plain(life),
                plain(worst.get((panel.part, panel.side, panel.metre), "cannot say")),
            )
        )
    return Table(
        caption="Plating panel by panel: thickness in mm, loss in per cent of the original, rate in mm a year (– where no loss stands clear of the doubt), and the shortest likely life",
        number=next(case.tables),
        columns=(
            Column(name="Panel", share=4.6),
            Column(name="Original", align="right", share=0.9),
            Column(name="Mean now", align="right", share=1.3),
            Column(name="Least", align="right", share=0.8),
            Column(name="Mean loss", align="right", share=0.8),
            Column(name="Local loss", align="right", share=0.8),
            Column(name="Rate", align="right", share=0.9),
            Column(name="Life", align="right", share=0.7),
            Column(name="Judged", share=1.3),
        ),
        rows=tuple(rows),
        label="table-plating",
        rests_on=used,
    )


def _mean(panel: Panel) -> str:
    if panel.mean_mm is None:
        return ""
    doubt = (
        f"\N{NO-BREAK SPACE}±\N{NO-BREAK SPACE}{2 * panel.mean_u_mm:.2f}" if panel.mean_u_mm else ""
    )
    return f"{panel.mean_mm:.2f}{doubt}"


def _where(panel: Panel) -> str:
    metre = "" if panel.metre is None else f"{panel.metre}–{panel.metre + 1}\N{NO-BREAK SPACE}m"
    return " ".join(str(each) for each in (panel.number, panel.side, metre) if each) or "whole"


def _losses(panel: Panel) -> tuple[str, str]:
    if panel.original_mm is None:
        return "", ""
    local = 100 * (1 - panel.least.thickness_mm / panel.original_mm)
    mean = "" if panel.mean_mm is None else f"{100 * (1 - panel.mean_mm / panel.original_mm):.0f}"
    return mean, f"{local:.0f}"


def _worst_by_panel(results: tuple[Result, ...]) -> dict[tuple[str, str | None, int | None], str]:
    """By panel, the worst verdict of its losses, and of its rate and life where they are known, in words."""
    worst: dict[tuple[str, str | None, int | None], Result] = {}
    for result in results:
        place = result.place
        if result.method not in _OF_A_PANEL or place is None:
            continue
        if result.value is None and result.method != "plating.diminution_pct":
            continue
        key = (place.part, place.side, None if place.station_m is None else int(place.station_m))
        rank = _WORSE.index(result.verdict)
        if key not in worst or rank > _WORSE.index(worst[key].verdict):
            worst[key] = result
    return {key: result.judged for key, result in worst.items()}
