"""The photographs of the steel motor yacht: 16 June 2026. Boat, people and defects are invented."""

from functools import cache

from scenes import inside, machinery, motor_yacht, steel, steel_upper
from scenes.shots import Shot, far, near, series
from scenes.studio import Scene

DAY = "2026-06-16"


@cache
def ashore() -> Scene:
    """The whole boat on blocks and shores."""
    return Scene(things=motor_yacht.whole_boat(), sky_seed=12)


def _overall() -> tuple[Shot, ...]:
    return series(
        DAY,
        "08:41:30",
        ashore,
        [
            (
                "overall-starboard-bow",
                "general-appearance",
                "starboard",
                "",
                "Whole boat from the starboard bow, ashore on blocks and shores.",
                far((18.6, -6.0, 0.1), (7.0, 0, 0.9), 54),
            ),
            (
                "overall-starboard-side",
                "general-appearance",
                "starboard",
                "",
                "Whole boat from starboard, broadside: rust at the waterline and streaks from the deck edge.",
                far((6.6, -12.6, 0.2), (6.7, 0, 0.9), 72),
            ),
            (
                "overall-starboard-quarter",
                "general-appearance",
                "starboard",
                "",
                "Whole boat from the starboard quarter.",
                far((-5.0, -7.4, 0.2), (5.2, 0, 0.9), 62),
            ),
            (
                "overall-stern",
                "transom",
                "",
                "",
                "From right aft: transom, both propellers and rudders.",
                far((-6.6, 0.4, -0.1), (2.0, 0, 0.6), 46, portrait=True),
            ),
            (
                "overall-port-quarter",
                "general-appearance",
                "port",
                "",
                "Whole boat from the port quarter, ladder at the stern.",
                far((-5.2, 6.6, 0.3), (5.2, 0, 0.9), 62),
            ),
            (
                "overall-port-side",
                "general-appearance",
                "port",
                "",
                "Whole boat from port, broadside: bright ground spots in rows below the waterline.",
                far((4.6, 12.0, -0.2), (6.45, 0, 0.8), 70),
            ),
            (
                "overall-port-bow",
                "general-appearance",
                "port",
                "",
                "Whole boat from the port bow.",
                far((17.2, 5.6, 0.0), (7.0, 0, 0.9), 56),
            ),
            (
                "overall-ahead",
                "stem",
                "",
                "",
                "Right ahead: stem, single chine each side and bar keel.",
                far((17.6, 0.3, -0.5), (8.0, 0, 0.7), 44, portrait=True),
            ),
            (
                "bottom-port-spots",
                "bottom-plate-thickness",
                "port",
                "",
                "Port bottom and chine amidships with the rows of ground spots.",
                far((7.3, 4.7, -0.9), (7.2, 1.4, -0.2), 50, stops=0.2),
            ),
            (
                "stern-gear-both",
                "propeller",
                "",
                "",
                "Stern gear from the starboard quarter: two shafts, A-brackets, four-bladed propellers, plate rudders.",
                far((-1.2, -2.8, -1.1), (1.4, -0.2, -0.7), 52),
            ),
            (
                "keel-blocks-starboard",
                "chocks-and-access",
                "starboard",
                "",
                "Bar keel on its blocks from starboard; plating behind the blocks not reached.",
                far((7.6, -4.4, -1.15), (6.4, 0, -0.95), 50, stops=0.15),
            ),
            (
                "bow-starboard-low",
                "stem",
                "starboard",
                "",
                "Stem and forward bottom plate from starboard, seen from below.",
                far((13.6, -2.6, -1.2), (11.0, -0.2, 0.4), 54, portrait=True),
            ),
            (
                "wheelhouse-port",
                "upperworks",
                "port",
                "",
                "Wheelhouse and saloon from port: rust marks in the cream paint.",
                far((7.0, 6.4, 2.2), (5.6, 1.0, 2.4), 48),
            ),
        ],
    )


def _plating() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "09:22:10",
            steel.reading_grid,
            [
                (
                    "reading-grid",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Bottom plate, port, frames 8 to 12, levels A to D: spots ground bright, chalked with frame and level.",
                    near((0.25, -1.75, -0.25), (0.0, 0, -0.02), 52),
                ),
                (
                    "reading-grid-close",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Spots 10B and 10C close: bare plate, edge of the coating feathered by the disc.",
                    near((0.10, -0.62, 0.0), (0.03, 0, 0.03), 46),
                ),
                (
                    "reading-grid-low",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Lower corner of the same grid: spots 11D and 12D.",
                    near((0.75, -0.70, -0.50), (0.50, 0, -0.36), 46),
                ),
            ],
        )
        + series(
            DAY,
            "09:31:40",
            steel.step_block,
            [
                (
                    "step-block",
                    "bottom-plate-thickness",
                    "",
                    "",
                    "Check of the thickness gauge before the first reading: step block of five thicknesses, 4 to 20 mm.",
                    near((0.10, -0.42, 0.30), (0.045, 0.0, 0.012), 44),
                ),
                (
                    "step-block-close",
                    "bottom-plate-thickness",
                    "",
                    "",
                    "Probe standing on the 12 mm step.",
                    near((-0.06, -0.22, 0.14), (0.0, 0, 0.015), 44, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "09:38:15",
            steel.gauge_on_plate,
            [
                (
                    "gauge-10b",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Thickness gauge at 10B: probe on the ground spot, display not lit in the picture.",
                    near((0.12, -0.50, 0.06), (0.0, 0, 0.0), 44),
                ),
                (
                    "gauge-probe-10b",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Probe and couplant on the ground spot at 10B.",
                    near((-0.03, -0.24, 0.06), (-0.10, 0, 0.02), 44, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "10:05:20",
            steel.scaled_plate,
            [
                (
                    "scale-plate",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Bottom plate aft, port: rust in layers, about half of the scale knocked off. Card 4, 20 cm scale.",
                    near((0.10, -0.95, -0.18), (0.0, 0, -0.02), 48),
                ),
                (
                    "scale-plate-close",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "Edge of the scale close: layers standing 3 to 5 mm above the plate.",
                    near((-0.05, -0.30, -0.02), (-0.10, 0, 0.04), 44, aperture_m=0.002),
                ),
                (
                    "scale-plate-low",
                    "bottom-plate-thickness",
                    "port",
                    "",
                    "The same place seen along the plate: thickness of the layers in side light.",
                    near((0.55, -0.34, -0.10), (0.05, 0, 0.0), 46),
                ),
            ],
        )
        + series(
            DAY,
            "10:18:50",
            steel.pits,
            [
                (
                    "pits",
                    "hull-pits",
                    "starboard",
                    "",
                    "Area of starboard bottom cleaned to bright metal: pits, one ringed in blue. 10 cm scale.",
                    near((0.06, -0.44, -0.05), (0.0, 0, 0.0), 46),
                ),
                (
                    "pits-gauge",
                    "hull-pits",
                    "starboard",
                    "",
                    "Bridge gauge standing across a pit; the ringed pit to its left.",
                    near((0.16, -0.24, 0.06), (0.04, -0.02, 0.0), 46, aperture_m=0.002),
                ),
                (
                    "pit-close",
                    "hull-pits",
                    "starboard",
                    "",
                    "Ringed pit close: dark floor, sharp edge, bright plate round it.",
                    near((-0.03, -0.13, 0.05), (-0.052, 0, 0.033), 42, aperture_m=0.001),
                ),
            ],
        )
        + series(
            DAY,
            "10:34:00",
            steel.chine,
            [
                (
                    "chine-port",
                    "waterline-and-chine-plating",
                    "port",
                    "",
                    "Chine, port, frames 6 to 11: weld along the knuckle, band of rust below it, ground spots above and below. Card 6.",
                    near((0.20, -1.50, -0.35), (0.0, 0.0, -0.02), 52),
                ),
                (
                    "chine-close",
                    "waterline-and-chine-plating",
                    "port",
                    "",
                    "Chine weld close: plate below the bead eaten and rough.",
                    near((0.10, -0.42, -0.12), (0.02, 0, -0.02), 44),
                ),
                (
                    "chine-along",
                    "waterline-and-chine-plating",
                    "port",
                    "",
                    "Along the chine from forward: knuckle fair, rust on its lower edge.",
                    near((-1.05, -0.42, -0.14), (0.1, 0.02, 0.0), 50),
                ),
            ],
        )
        + series(
            DAY,
            "10:47:25",
            steel.weld_seam,
            [
                (
                    "weld-seam",
                    "metal-welds",
                    "starboard",
                    "",
                    "Plate seam in the starboard side: paint lost along the weld. Card 9, 10 cm scale.",
                    near((0.08, -0.50, -0.04), (0.0, 0, 0.0), 46),
                ),
                (
                    "weld-seam-close",
                    "metal-welds",
                    "starboard",
                    "",
                    "The weld close: grooves along both edges of the bead.",
                    near((0.05, -0.17, 0.03), (0.0, 0, 0.01), 42, aperture_m=0.0015),
                ),
            ],
        )
    )


def _gear() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "11:02:10",
            steel.propeller_and_rudder,
            [
                (
                    "propeller-starboard",
                    "propeller",
                    "starboard",
                    "",
                    "Starboard propeller, A-bracket and rudder from outboard.",
                    near((-0.55, -2.0, -0.15), (0.0, 0, 0.05), 52),
                ),
                (
                    "propeller-starboard-close",
                    "propeller",
                    "starboard",
                    "",
                    "Starboard propeller from aft: blades whole, dull with green film.",
                    near((-0.40, -0.95, 0.10), (0.0, 0, 0.02), 46),
                ),
                (
                    "shaft-bracket-starboard",
                    "shaft-bracket",
                    "starboard",
                    "",
                    "A-bracket boss, starboard: rust spots, collar anode on the shaft ahead of it.",
                    near((0.62, -0.85, 0.0), (0.48, 0, 0.12), 44),
                ),
                (
                    "rudder-starboard",
                    "rudder-blade",
                    "starboard",
                    "",
                    "Starboard rudder blade and stock; rust at the lower edge.",
                    near((-0.85, -1.25, 0.0), (-0.66, 0, 0.0), 48, portrait=True),
                ),
            ],
        )
        + series(
            DAY,
            "11:16:45",
            lambda: steel.anode("gone"),
            [
                (
                    "anode-2-gone",
                    "anode",
                    "port",
                    "2",
                    "Anode 2, port: consumed to its steel strap and one lump. Card 2.",
                    near((0.10, -0.52, -0.12), (0.02, 0, -0.02), 44),
                ),
                (
                    "anode-2-close",
                    "anode",
                    "port",
                    "2",
                    "Remains of anode 2 close: white crumbling zinc on the rusted strap.",
                    near((-0.02, -0.24, -0.03), (-0.05, 0, 0.0), 42, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "11:21:30",
            lambda: steel.anode("untouched"),
            [
                (
                    "anode-3-painted",
                    "anode",
                    "port",
                    "3",
                    "Anode 3, port: full size, covered by the bottom coating. Card 3.",
                    near((0.08, -0.64, -0.13), (0.005, 0, -0.015), 44),
                )
            ],
        )
        + series(
            DAY,
            "11:28:00",
            steel.sea_chest,
            [
                (
                    "sea-chest",
                    "raw-water-intake",
                    "starboard",
                    "",
                    "Sea chest grid, starboard: one bar missing, rust and shells on the others. 10 cm scale.",
                    near((0.10, -0.60, -0.14), (0.0, 0, -0.02), 44),
                ),
                (
                    "sea-chest-close",
                    "raw-water-intake",
                    "starboard",
                    "",
                    "Gap in the grid where the bar is missing.",
                    near((0.09, -0.27, -0.03), (0.05, 0, 0.0), 42, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "11:40:20",
            steel.half_cell,
            [
                (
                    "half-cell",
                    "bonding-potential",
                    "",
                    "",
                    "Reference half-cell in a bucket of sea water for the bench check; lead to the meter.",
                    near((0.35, -0.95, 0.62), (0.12, 0.0, 0.14), 44),
                ),
                (
                    "half-cell-close",
                    "bonding-potential",
                    "",
                    "",
                    "The half-cell hanging in the water, porous end covered.",
                    near((0.10, -0.42, 0.50), (0.02, 0.0, 0.24), 42),
                ),
            ],
        )
    )


def _above() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "12:02:40",
            steel_upper.paint_blister,
            [
                (
                    "paint-blisters",
                    "metal-coatings",
                    "starboard",
                    "",
                    "Topside paint, starboard: blisters, one broken to rusty steel. 10 cm scale.",
                    near((0.10, -0.46, -0.03), (0.0, 0, 0.0), 46),
                ),
                (
                    "paint-blister-broken",
                    "metal-coatings",
                    "starboard",
                    "",
                    "The broken blister close: curled edge of the paint, rust beneath.",
                    near((0.02, -0.17, 0.04), (-0.03, 0, 0.008), 42, aperture_m=0.0015),
                ),
            ],
        )
        + series(
            DAY,
            "12:09:15",
            steel_upper.rubbing_strake,
            [
                (
                    "rubbing-strake",
                    "hollow-sections",
                    "port",
                    "",
                    "Half-round rubbing strake, port: rust bleeding from the seam along its lower edge. Card 12.",
                    near((0.35, -1.15, 0.10), (0.05, 0, -0.02), 50),
                ),
                (
                    "rubbing-strake-seam",
                    "hollow-sections",
                    "port",
                    "",
                    "Lower seam of the strake close: dark line, brown runs below.",
                    near((-0.10, -0.36, -0.12), (-0.15, 0, -0.04), 44),
                ),
            ],
        )
        + series(
            DAY,
            "13:10:30",
            steel_upper.deck_edge,
            [
                (
                    "deck-edge",
                    "metal-deck-edge",
                    "starboard",
                    "",
                    "Side deck at the bulwark, starboard: rust along the waterway, bleeding through the deck paint. Card 14.",
                    near((0.35, -0.95, 0.75), (0.02, 0.10, 0.06), 48, stops=0.25),
                ),
                (
                    "deck-edge-close",
                    "metal-deck-edge",
                    "starboard",
                    "",
                    "The joint close: paint lifted, rust standing off the plate.",
                    near((-0.05, -0.18, 0.30), (-0.10, 0.22, 0.02), 44, stops=0.2),
                ),
            ],
        )
        + series(
            DAY,
            "13:18:05",
            steel_upper.window_frame,
            [
                (
                    "window-frame",
                    "window",
                    "starboard",
                    "2",
                    "Saloon window 2, starboard: rust under the frame at both lower corners. Card 15.",
                    near((0.25, -1.05, -0.10), (0.0, 0, -0.02), 50, stops=0.5),
                ),
                (
                    "window-frame-corner",
                    "window",
                    "starboard",
                    "2",
                    "Lower after corner of window 2: paint blistered, brown runs down the side.",
                    near((-0.22, -0.42, -0.14), (-0.30, 0, -0.17), 44, stops=0.4),
                ),
            ],
        )
        + series(
            DAY,
            "13:26:40",
            steel_upper.bollard,
            [
                (
                    "bollard",
                    "mooring-cleat",
                    "port",
                    "",
                    "Twin bollard on the port side deck, warp made fast; rust round its base.",
                    near((0.45, -0.80, 0.55), (0.02, 0, 0.10), 46, stops=0.2),
                ),
                (
                    "bollard-foot",
                    "mooring-cleat",
                    "port",
                    "",
                    "Foot of the bollard: rust at the weld to the deck.",
                    near((-0.22, -0.38, 0.22), (-0.12, -0.03, 0.03), 44, stops=0.2),
                ),
            ],
        )
        + series(
            DAY,
            "13:34:10",
            steel_upper.shore_inlet,
            [
                (
                    "shore-inlet",
                    "shore-supply",
                    "port",
                    "",
                    "Shore inlet on the deckhouse side, lid up: one pin dark, rust under two screws.",
                    near((0.14, -0.42, 0.05), (0.0, 0, -0.01), 44, stops=0.5),
                ),
                (
                    "shore-inlet-pins",
                    "shore-supply",
                    "port",
                    "",
                    "Pins of the shore inlet: two bright, one brown.",
                    near((0.04, -0.15, 0.005), (0.0, -0.02, 0.0), 42, aperture_m=0.001, stops=0.3),
                ),
            ],
        )
    )


def _below() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "14:02:20",
            steel_upper.steel_bilge,
            [
                (
                    "bilge-frames",
                    "frames",
                    "port",
                    "",
                    "After bilge between two frames, port, 11.0 and 11.5 m: rust flakes lying on the plate. Card 18.",
                    near((-0.25, -0.90, 0.75), (0.02, 0.0, 0.02), 48),
                ),
                (
                    "frame-foot",
                    "frames",
                    "port",
                    "",
                    "Foot of the right-hand frame: lower edge wasted and ragged over about 30 cm.",
                    near((-0.10, -0.38, 0.30), (0.29, 0.02, 0.03), 46),
                ),
                (
                    "bilge-flakes",
                    "steel-bilge",
                    "port",
                    "",
                    "Flakes lifted from the bilge plate, the largest about 35 mm.",
                    near((0.0, -0.34, 0.26), (-0.03, 0.0, 0.0), 44, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "14:16:00",
            steel_upper.tank_top,
            [
                (
                    "tank-top",
                    "integral-tanks-and-voids",
                    "",
                    "1",
                    "Tank top with its lid: rust along the edge at the bulkhead.",
                    near((0.45, -0.95, 0.75), (0.0, 0.05, 0.02), 48),
                ),
                (
                    "tank-top-edge",
                    "integral-tanks-and-voids",
                    "",
                    "1",
                    "Edge of the tank top close: rust standing in the corner.",
                    near((0.15, -0.10, 0.30), (0.05, 0.30, 0.03), 46),
                ),
            ],
        )
        + series(
            DAY,
            "14:27:35",
            steel_upper.engines,
            [
                (
                    "engines",
                    "machinery-space",
                    "",
                    "",
                    "Machinery space from forward: two diesels on their beds, tread plate between.",
                    near((0.0, -2.1, 1.35), (0.0, 0.1, 0.38), 58),
                ),
                (
                    "engine-starboard",
                    "engine-exterior",
                    "starboard",
                    "",
                    "Starboard engine from forward.",
                    near((-0.30, -1.15, 0.95), (-0.62, 0.05, 0.40), 46),
                ),
                (
                    "engine-port-belt",
                    "drive-belts",
                    "port",
                    "",
                    "Belt and pulleys, port engine.",
                    near((0.55, -0.72, 0.62), (0.52, 0.0, 0.42), 44),
                ),
            ],
        )
        + series(
            DAY,
            "14:41:50",
            machinery.stern_gland,
            [
                (
                    "stern-gland-port",
                    "shaft-seal",
                    "port",
                    "",
                    "Stern gland, port: gaiter and clips, drops below the packing nut.",
                    near((0.10, -0.52, 0.50), (-0.02, 0, 0.16), 46),
                )
            ],
        )
        + series(
            DAY,
            "14:47:10",
            lambda: inside.seacock("rusted"),
            [
                (
                    "seacock-6",
                    "sea-hose",
                    "port",
                    "6",
                    "Seacock 6 (deck wash), inside: green bonding lead, single brown clip. Card 6.",
                    near((-0.20, -0.52, 0.40), (0.0, 0, 0.13), 44),
                )
            ],
        )
    )


SHOTS: tuple[Shot, ...] = (
    *_overall(),
    *_plating(),
    *_gear(),
    *_above(),
    *_below(),
)
