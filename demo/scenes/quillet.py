"""The photographs of the sloop: 12 May 2026, Fennick Hard. Boat, people and defects are invented."""

from functools import cache

from scenes import bottom, deck, inside, machinery, sloop
from scenes.shots import Shot, far, near, series
from scenes.studio import Scene

DAY = "2026-05-12"


@cache
def ashore() -> Scene:
    """The whole boat on her keel and shores."""
    return Scene(things=sloop.whole_boat())


def _overall() -> tuple[Shot, ...]:
    return series(
        DAY,
        "08:52:10",
        ashore,
        [
            (
                "overall-starboard-bow",
                "general-appearance",
                "starboard",
                "",
                "Whole boat from the starboard bow, ashore on her keel with six timber shores.",
                far((15.2, -4.6, -0.4), (6.0, 0, 0.35), 55),
            ),
            (
                "overall-starboard-side",
                "general-appearance",
                "starboard",
                "",
                "Whole boat from starboard, broadside: fin keel, full skeg and rudder, worn antifouling.",
                far((5.0, -9.6, -0.4), (5.1, 0, 0.25), 64),
            ),
            (
                "overall-starboard-quarter",
                "general-appearance",
                "starboard",
                "",
                "Whole boat from the starboard quarter.",
                far((-4.6, -6.0, -0.3), (4.2, 0, 0.3), 62),
            ),
            (
                "overall-stern",
                "transom",
                "",
                "",
                "Transom, rudder and stern gear from right aft; ladder to port.",
                far((-6.2, -0.5, -0.7), (1.5, 0, 0.15), 44, portrait=True),
            ),
            (
                "overall-port-quarter",
                "general-appearance",
                "port",
                "",
                "Whole boat from the port quarter.",
                far((-4.2, 6.4, -0.3), (4.4, 0, 0.3), 62),
            ),
            (
                "overall-port-side",
                "general-appearance",
                "port",
                "",
                "Whole boat from port, broadside; keel on one line of blocks.",
                far((5.2, 9.4, -0.2), (5.1, 0, 0.25), 66),
            ),
            (
                "overall-port-bow",
                "general-appearance",
                "port",
                "",
                "Whole boat from the port bow.",
                far((14.6, 5.0, -0.2), (6.0, 0, 0.3), 56),
            ),
            (
                "overall-ahead",
                "general-appearance",
                "",
                "",
                "Right ahead: stem, forefoot and keel in line; shores port and starboard.",
                far((15.5, 0.2, -0.9), (6.0, 0, 0.1), 40, portrait=True),
            ),
            (
                "keel-starboard",
                "iron-keel",
                "starboard",
                "",
                "Fin keel from starboard on two blocks; rust breaking through toward the foot.",
                far((5.2, -3.4, -0.9), (5.0, 0, -1.05), 50),
            ),
            (
                "skeg-rudder-starboard",
                "rudder-blade",
                "starboard",
                "",
                "Full skeg and rudder from starboard, helm amidships.",
                far((0.6, -2.9, -0.7), (1.3, 0, -0.55), 50, portrait=True),
            ),
            (
                "run-starboard",
                "bottom-coating",
                "starboard",
                "",
                "Run and stern gear from the starboard quarter, looking forward and up.",
                far((-0.6, -2.2, -1.55), (2.6, 0, -0.5), 58),
            ),
            (
                "bottom-forward-port",
                "bottom-coating",
                "port",
                "",
                "Bottom forward from port: antifouling thin in places, scraped patch near the keel.",
                far((9.6, 2.9, -1.5), (7.0, 0.3, -0.3), 54),
            ),
            (
                "bottom-starboard-patches",
                "bottom-moisture",
                "starboard",
                "",
                "Starboard bottom amidships: patches scraped by hand for the readings.",
                far((6.6, -3.3, -1.1), (5.6, -0.6, -0.3), 54),
            ),
            (
                "shore-starboard-aft",
                "chocks-and-access",
                "starboard",
                "",
                "After shore, starboard: pad bears on the turn of the bilge; soundings not taken behind it.",
                far((0.6, -3.4, -0.7), (2.1, -1.0, -0.1), 46, portrait=True),
            ),
            (
                "boot-top-starboard-bow",
                "boot-top",
                "starboard",
                "",
                "Boot-top and waterline forward, starboard: a brown scum line, gelcoat gloss above it.",
                far((9.9, -3.3, 0.1), (8.0, -0.6, 0.25), 48),
            ),
            (
                "keel-ahead",
                "iron-keel",
                "",
                "",
                "Keel from ahead, looking aft: leading edge upright against the canoe body.",
                far((9.3, 0.0, -1.35), (5.0, 0, -0.85), 46, portrait=True),
            ),
        ],
    )


def _keel_and_rudder() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "09:33:05",
            bottom.keel_joint,
            [
                (
                    "keel-joint-starboard",
                    "keel-joint",
                    "starboard",
                    "",
                    "Keel-to-hull joint, starboard, forward half; rust weeps below the seam at the forward end.",
                    near((0.55, -1.45, -0.28), (0.12, 0, -0.06), 52),
                ),
                (
                    "keel-joint-forward-open",
                    "keel-joint",
                    "starboard",
                    "",
                    "Keel joint at the forward end, starboard: seam open about 3 mm, rust running from it. Card 3, centimetre scale.",
                    near((0.5, -0.55, -0.18), (0.43, 0, -0.08)),
                ),
                (
                    "keel-joint-forward-close",
                    "keel-joint",
                    "starboard",
                    "",
                    "The same opening close: dark gap with pale, broken filler on its edges.",
                    near((0.62, -0.30, -0.11), (0.56, 0, -0.055), 40, aperture_m=0.002),
                ),
                (
                    "keel-joint-aft-sound",
                    "keel-joint",
                    "starboard",
                    "",
                    "Keel joint in its after part, starboard: a closed line, no rust below it. 10 cm scale.",
                    near((-0.50, -0.60, -0.20), (-0.60, 0, -0.07)),
                ),
            ],
        )
        + series(
            DAY,
            "09:46:40",
            bottom.keel_toe,
            [
                (
                    "keel-toe",
                    "iron-keel",
                    "starboard",
                    "",
                    "Foot of the keel at the forward end, starboard: coating gone, iron rusted. Card 4.",
                    near((0.75, -1.2, -0.12), (0.2, 0, -0.02), 46),
                ),
                (
                    "keel-toe-close",
                    "iron-keel",
                    "starboard",
                    "",
                    "Rust at the keel foot close: layered, orange to dark brown, edge of the coating lifting.",
                    near((0.42, -0.45, -0.02), (0.25, -0.05, -0.08), 44),
                ),
            ],
        )
        + series(
            DAY,
            "09:58:20",
            bottom.rudder_and_skeg,
            [
                (
                    "rudder-blade-lower",
                    "rudder-blade",
                    "starboard",
                    "",
                    "Rudder and skeg from starboard, lower two thirds. Card 7 at a mark on the blade.",
                    near((-0.5, -1.9, -0.2), (0.05, 0, 0.0), 48),
                ),
                (
                    "rudder-blade-weep",
                    "rudder-blade",
                    "starboard",
                    "",
                    "Rudder blade low on the after part: short crack with a brown weep below it. Card 7.",
                    near((-0.45, -0.62, -0.40), (-0.38, 0, -0.46), 42),
                ),
                (
                    "rudder-heel",
                    "skeg",
                    "starboard",
                    "",
                    "Heel fitting at the foot of the skeg: bronze shoe, three bolts, rudder stock standing in the cup.",
                    near((-0.35, -0.65, -0.62), (0.02, 0, -0.56), 40),
                ),
                (
                    "skeg-root",
                    "skeg",
                    "starboard",
                    "",
                    "Root of the skeg at the hull, starboard: no line through the coating seen.",
                    near((0.75, -1.55, -0.10), (0.45, 0, 0.45), 48, stops=-0.35),
                ),
            ],
        )
    )


def _stern_gear() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "10:14:30",
            bottom.stern_gear,
            [
                (
                    "stern-gear-starboard",
                    "shaft-bracket",
                    "starboard",
                    "",
                    "P-bracket, shaft, collar anode and propeller from the starboard quarter.",
                    near((-0.62, -0.95, -0.22), (0.06, 0, 0.05), 44),
                ),
                (
                    "shaft-bracket-close",
                    "shaft-bracket",
                    "starboard",
                    "",
                    "P-bracket boss with the shaft in its bearing; bronze dull with green film, no crack seen in the arm.",
                    near((-0.10, -0.46, -0.02), (0.08, 0, 0.07), 42),
                ),
                (
                    "shaft-anode",
                    "anode",
                    "",
                    "1",
                    "Collar anode on the shaft: deeply pitted, about half consumed.",
                    near((0.2, -0.34, 0.02), (0.285, 0, 0.06), 38, aperture_m=0.0015),
                ),
            ],
        )
        + series(
            DAY,
            "10:24:00",
            lambda: bottom.propeller("bright"),
            [
                (
                    "propeller-blade-bright",
                    "propeller",
                    "",
                    "",
                    "Folding propeller from aft, blades open: yellow metal, edges whole.",
                    near((0.25, -0.62, -0.12), (0, 0, 0)),
                ),
                (
                    "propeller-hub",
                    "propeller",
                    "",
                    "",
                    "Hub and hinge pins of the folding propeller.",
                    near((0.16, -0.34, 0.05), (0.0, 0, 0.0), 38, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "10:29:15",
            lambda: bottom.propeller("pink"),
            [
                (
                    "propeller-pink",
                    "propeller",
                    "",
                    "",
                    "Other face of the same propeller after scraping: pink, mottled metal over hub and blade roots. Card 9.",
                    near((0.12, -0.52, -0.06), (0.035, 0, -0.02), 44),
                ),
                (
                    "propeller-pits",
                    "propeller",
                    "",
                    "",
                    "Blade root close: pink metal with dark pits.",
                    near((0.20, -0.26, 0.10), (0.085, 0, 0.055), 40, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "10:36:50",
            bottom.hull_anode,
            [
                (
                    "hull-anode",
                    "anode",
                    "starboard",
                    "2",
                    "Hull anode, starboard: full section, surface hardly marked. 10 cm scale.",
                    near((0.12, -0.5, -0.15), (0.03, 0, -0.02), 42),
                ),
            ],
        )
    )


def _bottom() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "10:44:05",
            bottom.thruster,
            [
                (
                    "thruster-tunnel",
                    "thruster",
                    "starboard",
                    "",
                    "Bow thruster tunnel from starboard; coating broken round its edge. Card 11.",
                    near((0.28, -0.62, -0.06), (0.04, 0.05, -0.015), 44),
                ),
                (
                    "thruster-blade",
                    "thruster",
                    "starboard",
                    "",
                    "Blades and small anode in the tunnel: blades whole, anode rounded.",
                    near((0.12, -0.28, 0.03), (0.0, 0.15, 0.0), 44),
                ),
            ],
        )
        + series(
            DAY,
            "10:51:30",
            lambda: bottom.skin_fitting("sound"),
            [
                (
                    "skin-fitting-5",
                    "skin-fitting",
                    "port",
                    "5",
                    "Skin fitting 5 (sink drain), outside: bronze scraped clean, yellow throughout.",
                    near((0.07, -0.36, -0.1), (0.03, 0, -0.015)),
                )
            ],
        )
        + series(
            DAY,
            "10:54:10",
            lambda: bottom.skin_fitting("pink"),
            [
                (
                    "skin-fitting-6",
                    "skin-fitting",
                    "starboard",
                    "6",
                    "Skin fitting 6 (engine cooling), outside: scraped metal shows pink with pits; green stain below.",
                    near((0.07, -0.36, -0.1), (0.03, 0, -0.015)),
                ),
                (
                    "skin-fitting-6-close",
                    "skin-fitting",
                    "starboard",
                    "6",
                    "Rim of skin fitting 6 close: pink patches between remains of yellow metal.",
                    near((-0.02, -0.17, 0.01), (-0.015, 0, 0.01), 42, aperture_m=0.0015),
                ),
            ],
        )
        + series(
            DAY,
            "10:59:45",
            lambda: bottom.skin_fitting("plastic"),
            [
                (
                    "skin-fitting-8",
                    "skin-fitting",
                    "port",
                    "8",
                    "Skin fitting 8 (cockpit drain), outside: plastic flange, faded, no crack seen.",
                    near((0.06, -0.38, -0.08), (0.03, 0, -0.015)),
                )
            ],
        )
        + series(
            DAY,
            "11:06:20",
            bottom.blister_patch,
            [
                (
                    "blister-patch-12",
                    "bottom-gelcoat",
                    "starboard",
                    "",
                    "Patch 12, starboard bottom, scraped to the gelcoat: small blisters; one pricked inside the blue ring. Card and 10 cm scale.",
                    near((0.05, -0.62, -0.12), (0.01, 0, -0.01), 44, stops=0.25),
                ),
                (
                    "blister-patch-12-low",
                    "bottom-gelcoat",
                    "starboard",
                    "",
                    "The same patch seen along the surface: blisters stand out in the low light.",
                    near((0.34, -0.34, -0.12), (0.02, 0, -0.02), 46, stops=0.25),
                ),
                (
                    "blister-pricked",
                    "bottom-gelcoat",
                    "starboard",
                    "",
                    "Pricked blister close: brown fluid has run a few millimetres.",
                    near(
                        (-0.09, -0.22, -0.02), (-0.02, 0, -0.005), 38, aperture_m=0.002, stops=0.25
                    ),
                ),
            ],
        )
        + series(
            DAY,
            "11:15:00",
            bottom.sound_patch,
            [
                (
                    "meter-reference-r1",
                    "bottom-moisture",
                    "port",
                    "",
                    "Reference patch R1, port bottom, scraped to the gelcoat; moisture meter held on it.",
                    near((0.1, -0.65, -0.1), (0.0, 0, 0), 44, stops=0.2),
                )
            ],
        )
        + series(
            DAY,
            "11:27:40",
            bottom.hammer_grid,
            [
                (
                    "hammer-grid",
                    "bottom-laminate",
                    "starboard",
                    "",
                    "Sounding grid in chalk on the starboard bottom; dull (D) and hollow (H) ringed in yellow crayon.",
                    near((0.1, -1.15, -0.1), (0.0, 0, -0.05), 54),
                ),
                (
                    "hammer-marks-close",
                    "bottom-laminate",
                    "starboard",
                    "",
                    "Marks D and H close, squares B3 to C4; sounding hammer on the staging plank.",
                    near((0.05, -0.72, -0.10), (0.02, -0.02, -0.11), 46),
                ),
            ],
        )
    )


def _deck() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "11:44:10",
            deck.topside_scratch,
            [
                (
                    "topside-scratch",
                    "topside-gelcoat",
                    "starboard",
                    "",
                    "Starboard topside aft: scratch about 50 cm long running forward from a chip. Card 14, 10 cm scale.",
                    near((0.25, -1.1, -0.1), (-0.05, 0, -0.05), 50, stops=0.8),
                ),
                (
                    "topside-chip",
                    "topside-gelcoat",
                    "starboard",
                    "",
                    "Start of the scratch: gelcoat chipped to the laminate, fine cracks round it, blue marks in the scratch.",
                    near((-0.2, -0.42, 0.05), (-0.22, 0, 0.03), stops=0.8),
                ),
            ],
        )
        + series(
            DAY,
            "11:52:30",
            deck.topside_repair,
            [
                (
                    "topside-colour",
                    "earlier-repair",
                    "port",
                    "",
                    "Port topside amidships: a square, yellower and duller than the gelcoat round it. 20 cm scale.",
                    near((0.9, -1.5, -0.1), (0.05, 0, -0.05), 50, stops=0.7),
                )
            ],
        )
        + series(
            DAY,
            "13:06:15",
            deck.stanchion_base,
            [
                (
                    "stanchion-base",
                    "stanchion",
                    "starboard",
                    "3",
                    "Stanchion 3, starboard: base plate, brown weep below it, cracks in the gelcoat forward. Card 21.",
                    near((0.18, -0.55, 0.42), (0.02, 0, 0.03), 44, stops=0.8),
                ),
                (
                    "stanchion-cracks",
                    "stanchion",
                    "starboard",
                    "3",
                    "Star of fine cracks at the forward corner of stanchion base 3, starboard.",
                    near((0.12, -0.2, 0.2), (0.05, 0.02, 0.0), 44, stops=0.8),
                ),
            ],
        )
        + series(
            DAY,
            "13:12:40",
            deck.chainplate,
            [
                (
                    "chainplate",
                    "chainplate",
                    "port",
                    "2",
                    "Cap shroud chainplate, port, with its cover plate; rust stain on the side deck. Card 22.",
                    near((0.22, -0.65, 0.42), (0.02, 0, 0.09), 44, stops=0.8),
                ),
                (
                    "chainplate-weep",
                    "chainplate",
                    "port",
                    "2",
                    "Cover plate close: sealant missing in lengths, brown runs from under the edge.",
                    near((0.06, -0.28, 0.2), (0.0, -0.02, 0.02), 44, stops=0.8),
                ),
            ],
        )
        + series(
            DAY,
            "13:20:05",
            deck.terminal,
            [
                (
                    "terminal",
                    "rigging-terminal",
                    "",
                    "4",
                    "Lower terminal of the port cap shroud: swaged sleeve, fork and pin.",
                    near((0.04, -0.24, 0.03), (0.0, 0, -0.01), 46, stops=0.5, portrait=True),
                ),
                (
                    "terminal-weep",
                    "rigging-terminal",
                    "",
                    "4",
                    "Top of the same sleeve close: brown stain where the wire enters.",
                    near((0.02, -0.13, 0.06), (0.0, 0, 0.052), 44, aperture_m=0.0015, stops=0.6),
                ),
            ],
        )
        + series(
            DAY,
            "13:28:50",
            deck.mast_foot,
            [
                (
                    "mast-foot",
                    "mast-step",
                    "",
                    "",
                    "Mast heel in its step on the coachroof, halyards led aft through blocks.",
                    near((0.35, -0.95, 0.6), (0.0, 0, 0.14), 46, stops=0.7),
                ),
                (
                    "mast-foot-powder",
                    "mast-lower",
                    "",
                    "",
                    "White powder on the alloy round a steel screw, about 10 cm above the step.",
                    near((0.12, -0.38, 0.2), (0.02, -0.06, 0.09), 44, stops=0.6),
                ),
            ],
        )
        + series(
            DAY,
            "13:37:20",
            deck.hatch,
            [
                (
                    "hatch",
                    "hatch",
                    "",
                    "1",
                    "Forward hatch, closed: frame straight, acrylic dull toward one corner.",
                    near((0.25, -0.85, 0.6), (0.0, 0, 0.0), 46, stops=0.6),
                ),
                (
                    "hatch-crazing",
                    "hatch",
                    "",
                    "1",
                    "The dull corner close: a net of fine cracks in the acrylic.",
                    near((0.2, -0.35, 0.25), (0.1, -0.12, 0.02), 44, stops=0.3),
                ),
            ],
        )
        + series(
            DAY,
            "13:48:00",
            deck.anchor_chain,
            [
                (
                    "anchor-chain",
                    "anchor-rode",
                    "",
                    "",
                    "Chain in the anchor well: grey zinc on most of it, the top lengths brown with rust. 10 cm scale.",
                    near((0.15, -0.6, 0.62), (0.02, 0, 0.08), 46, stops=0.1),
                )
            ],
        )
    )


def _below() -> tuple[Shot, ...]:
    return (
        series(
            DAY,
            "13:59:30",
            inside.gas_locker,
            [
                (
                    "gas-locker",
                    "gas-locker",
                    "port",
                    "",
                    "Gas locker opened: one cylinder strapped upright, regulator on the valve, drain in the corner.",
                    near((-0.20, -0.46, 1.25), (-0.03, 0.02, 0.18), 40),
                ),
                (
                    "gas-locker-drain",
                    "gas-locker",
                    "port",
                    "",
                    "Drain of the gas locker: open, with a few dead leaves beside it.",
                    near((-0.08, -0.17, 0.80), (-0.15, -0.10, 0.02), 32, stops=0.3),
                ),
            ],
        )
        + series(
            DAY,
            "14:10:20",
            lambda: inside.seacock("sound"),
            [
                (
                    "seacock-5",
                    "seacock",
                    "port",
                    "5",
                    "Seacock 5 (sink drain), inside: lever open, two clips on the hose. Card 5.",
                    near((0.25, -0.56, 0.40), (0.03, 0, 0.13), 44),
                )
            ],
        )
        + series(
            DAY,
            "14:14:45",
            lambda: inside.seacock("rusted"),
            [
                (
                    "seacock-6",
                    "seacock",
                    "starboard",
                    "6",
                    "Seacock 6 (engine cooling), inside: body partly pink, one clip on the hose. Card 6.",
                    near((0.25, -0.5, 0.36), (0.03, 0, 0.13), 44),
                ),
                (
                    "seacock-6-clip",
                    "sea-hose",
                    "starboard",
                    "6",
                    "The single clip on hose 6: brown with rust over its whole band.",
                    near((0.14, -0.24, 0.27), (0.008, 0, 0.15), 42, aperture_m=0.002),
                ),
            ],
        )
        + series(
            DAY,
            "14:20:10",
            lambda: inside.seacock("shut"),
            [
                (
                    "seacock-7",
                    "seacock",
                    "starboard",
                    "7",
                    "Seacock 7 (heads inlet), inside: lever found across the body; two clips. Card 7.",
                    near((0.25, -0.56, 0.40), (0.03, 0, 0.13), 44),
                )
            ],
        )
        + series(
            DAY,
            "14:29:00",
            inside.bilge,
            [
                (
                    "keel-bolts",
                    "keel-bolt",
                    "",
                    "",
                    "Keel bolts in the sump, looking aft and to port; water at the low end, fourth nut from aft brown.",
                    near((0.55, -0.75, 0.75), (0.05, 0, 0.0), 48),
                ),
                (
                    "keel-bolt-4",
                    "keel-bolt",
                    "",
                    "4",
                    "Keel bolt 4, counted from aft: nut and plate rusted, flakes lying round them. 10 cm scale.",
                    near((0.28, -0.30, 0.28), (0.145, 0, 0.015), 42),
                ),
                (
                    "bilge-water",
                    "bilge",
                    "",
                    "",
                    "Low end of the sump: standing water, tide mark on the paint, pump suction.",
                    near((-0.35, -0.62, 0.50), (-0.55, 0, 0.0), 46),
                ),
            ],
        )
        + series(
            DAY,
            "14:41:30",
            machinery.engine,
            [
                (
                    "engine",
                    "engine-exterior",
                    "",
                    "",
                    "Engine from its belt end with the steps off.",
                    near((0.4, -1.35, 0.95), (0, 0.1, 0.4), 46),
                ),
                (
                    "engine-belt",
                    "drive-belts",
                    "",
                    "",
                    "Drive belt round pump, crank and alternator pulleys.",
                    near((-0.1, -0.7, 0.6), (-0.1, 0, 0.42), 44),
                ),
            ],
        )
        + series(
            DAY,
            "14:52:05",
            machinery.stern_gland,
            [
                (
                    "stern-gland",
                    "shaft-seal",
                    "",
                    "",
                    "Stern gland: gaiter with two clips at each end, drops below the packing nut, damp track on the moulding.",
                    near((0.2, -0.6, 0.45), (0.03, 0, 0.16), 44),
                )
            ],
        )
        + series(
            DAY,
            "15:03:40",
            inside.battery_box,
            [
                (
                    "battery-box",
                    "lead-acid-battery",
                    "starboard",
                    "",
                    "Two batteries in their tray; no strap over them, terminals uncovered.",
                    near((0.3, -0.75, 0.75), (0.02, 0, 0.2), 46),
                ),
                (
                    "battery-terminal",
                    "lead-acid-battery",
                    "starboard",
                    "2",
                    "Positive terminal of battery 2: white and green crust.",
                    near((0.42, -0.35, 0.45), (0.28, -0.04, 0.25), 42),
                ),
            ],
        )
    )


SHOTS: tuple[Shot, ...] = (
    *_overall(),
    *_keel_and_rudder(),
    *_stern_gear(),
    *_bottom(),
    *_deck(),
    *_below(),
)
