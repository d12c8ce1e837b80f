"""Invented views of mounting sheets: what each kind of radio looks like on paper."""

from __future__ import annotations

from dataclasses import replace

from survey_app.drawing.elevation import ElevationScene
from survey_app.drawing.level_scale import LevelWindow
from survey_app.drawing.plan_scene import (
    PlanEnd,
    PlanFlag,
    PlanHop,
    PlanLandmark,
    PlanScene,
    PlanStructure,
    PlanWater,
)
from survey_app.paper.mounting_view import (
    AimFigure,
    Caution,
    FactColumn,
    Flag,
    LevelBlock,
    MountingView,
    SideFigure,
    StationRow,
    Stop,
    SweepBlock,
    TiltFigure,
    TitleBlock,
    WriteBox,
)

STRUCTURES = (
    PlanStructure("building", "office", ((40, 222), (80, 218), (82, 242), (42, 246)), 6.4),
    PlanStructure("building", "boat shed", ((20, 142), (110, 136), (113, 179), (23, 185)), 11.2),
    PlanStructure("building", "paint store", ((112, 110), (157, 107), (159, 133), (114, 136)), 4.8),
    PlanStructure("building", "sail loft", ((232, 206), (264, 208), (262, 240), (230, 238)), 14.5),
    PlanStructure("building", "rigging store", ((292, 190), (330, 193), (329, 207), (291, 204)), 3.6),
    PlanStructure("mast", "mast M1", ((96, 238),), 15.0),
    PlanStructure("pole", "pile light P3", ((330, 58),), 8.0),
    PlanStructure(
        "obstacle", "yard crane", ((299, 119), (305, 119), (305, 125), (299, 125)), 18.0, swing_radius_m=14.0
    ),
    PlanStructure(
        "tree_stand",
        "willows",
        ((345, 170), (360, 195), (400, 200), (440, 190), (455, 160), (430, 130), (380, 125)),
        12.0,
    ),
    PlanStructure("overhead_line", "", ((450, 275), (470, 240), (520, 200)), 8.0),
)
WATERS = (
    PlanWater(
        "River Quillon",
        ((-900, -900), (1600, -900), (1600, 105), (430, 82), (300, 88), (150, 92), (80, 105), (-900, 120)),
    ),
)
A1 = PlanEnd("A1", (96.0, 238.0), "access_point", 117.0)
S1 = PlanEnd("S1", (330.0, 58.0), "station", 307.6)
S2 = PlanEnd("S2", (248.0, 222.0), "station", 275.9)
S4 = PlanEnd("S4", (424.0, 58.0), "station", 298.8)
S5 = PlanEnd("S5", (210.0, 112.0), "station", 317.9)


def _facts(rows: tuple[tuple[tuple[str, str | None], ...], ...]) -> tuple[FactColumn, FactColumn, FactColumn]:
    mount, radio, supply = rows
    return FactColumn("MOUNT", mount), FactColumn("RADIO", radio), FactColumn("SUPPLY", supply)


TITLE = TitleBlock(
    site="Quillon Reach Boatyard",
    document="Mounting sheet",
    sheet="3 / 7",
    revision="C",
    checksum="7F3A 91C2 0E5D",
    drawn_from="design of 2026-11-25 14:20",
    subject="S1",
    language="en",
    status="for work",
    owner="from site settings",
    program="Rules 2026-11. survey-app 0.1.0.",
    footer="Checksum here and in the design must match. If not, ask for the new sheet.",
)
CAUTIONS = (
    Caution(
        "overhead",
        "OVERHEAD LINES",
        "None within 30 m as recorded. Look up first; you and all you carry stay 3 m clear.",
    ),
    Caution("fall", "FALLS", "Fall protection chosen by a competent person. Never alone. Tie off tools."),
    Caution("radio", "RADIO POWER", "Radio off before you work in front of it, else keep 0.4 m from its face."),
    Caution("storm", "LIGHTNING, WIND, ICE", "Stop. No aiming in a storm. Earth and surge work: licensed electrician."),
)
BOXES = (
    (
        WriteBox("LEVEL HERE", "dBm", 36),
        WriteBox("FAR END", "dBm", 36),
        WriteBox("BEARING SET", "", 36),
        WriteBox("TILT SET", "", 36),
        WriteBox("HEIGHT SET", "", 36),
    ),
    (
        WriteBox("VOLTS AT RADIO", "", 36),
        WriteBox("PHOTO NO.", "", 36),
        WriteBox("DATE", "", 36),
        WriteBox("NAME AND SIGNATURE", "", 72),
    ),
)

STATION = MountingView(
    sheet="3 of 7",
    radio="S1",
    role="STATION",
    structure="on PILE LIGHT P3",
    looks=("looks at", "A1", "access point on MAST M1, 295 m"),
    climb="Climb 3 of 6. A1 goes up first, then this.",
    stop=None,
    ticks=("A1 on air", "14 dBm, automatic off", "unit labelled", "supply on", "owner agrees"),
    aims=(
        AimFigure(
            "right",
            "Turn right of",
            "the water tower",
            "23.4°",
            lines=(
                "This aim is good to ±0.4°. The beam is 27° wide.",
                "Check: 61.8° left of the chapel spire.",
                "Tower to spire 85.2°.",
            ),
        ),
        AimFigure(
            "bearing",
            "BEARING MAGNETIC",
            "= true 307.6° minus 1.9°",
            "305.7°",
            lines=("compass, 20 m off steel", "read it to 0.5°, good to ±2°", "from A1 here: 125.7°"),
        ),
        AimFigure(
            "bearing",
            "BEARING TRUE",
            "declination 1.9° E ±0.3°, 2026-11-25",
            "307.6°",
            lines=("from true north", "WMM2025, 0.2° E a year", "from A1 here: 127.6°"),
        ),
    ),
    tilt=TiltFigure("2.0°", "UP", "", ("Beam 2.0° up. No tilt built in.", "Bracket turns free, reads to 0.5°.")),
    height=SideFigure("HEIGHT ABOVE DECK", "6.0 m", "19 ft 8 in"),
    side=SideFigure("SIDE OF THE PILE", "NW", side_deg=307.6),
    sweep=SweepBlock("THEN SWEEP SLOWLY", "±54°", ("take the middle; −1 dB ±7.8°", "false peak ±44°, −13 dB")),
    plan=PlanScene(
        structures=STRUCTURES,
        waters=WATERS,
        radio=S1,
        hops=(PlanHop(A1, checked=True),),
        aim_deg=307.6,
        aim_words="307.6° true 295 m",
        landmark=PlanLandmark("water tower", "640 m", 284.2, 23.4, "23.4°"),
        declination_deg=1.9,
    ),
    foot=("Foot: 4.2 m from the NE corner, 6.1 m from the SE.", "Within 0.4 m of it the aim still holds."),
    way=("Way: clear 2.6 m at 152.0 m, BOATS ON TRAILERS.", "Held against flat ground; walk of 2026-11-02."),
    section=None,
    elevation=ElevationScene("S1", "6.0", "A1", "13.0", 2.0, "2.0° up", to_left=True),
    level=LevelBlock(
        power="power fixed 14 dBm, automatic OFF",
        value="−51",
        unknown="",
        lights=4,
        lights_total=4,
        lights_words="4 lights of 4",
        lines=("each chain −54, within 3 dB", "read on the unit's page"),
        window=LevelWindow(-57, -54, -48),
        rule="6 dB short after two sweeps: do not tighten, call.",
    ),
    stations=(),
    facts=_facts(
        (
            (
                ("structure", "P3, 114 mm steel"),
                ("tape", "1.0 m below the top"),
                ("bracket", "clamp B2, 90 to 120"),
                ("unit", "arrow up, plug down"),
                ("keep out", "0.4 m in front"),
                ("reach by", "ladder 7 m, key K2"),
                ("label", "S1"),
            ),
            (
                ("role", "station of A1"),
                ("antenna", "panel, 16 dBi"),
                ("channel", "102 · 5510 MHz"),
                ("width", "40 MHz"),
                ("power", "14 dBm, then auto"),
                ("EIRP", "30 of 30 dBm"),
                ("address", "192.0.2.11"),
            ),
            (
                ("at radio", "46.1 V · 8.2 W"),
                ("injector", "deck box D1, 48 V"),
                ("cable", "38 m solid copper"),
                ("entry", "gland down, drip loop"),
                ("surge", "both ends"),
                ("earth", "to pile lug"),
                ("feeds", "camera C1"),
            ),
        )
    ),
    flags=(Flag(3, "note", "S1 stands over water: reading may swing by 2 dB."),),
    sight="Sight: A1 seen from P3, 2026-11-02.",
    cautions=CAUTIONS,
    codes="Local codes and licensed practice come first.",
    call="Call: Yard office, +1 555 0100",
    boxes=BOXES,
    title=TITLE,
)

ACCESS_POINT = replace(
    STATION,
    sheet="1 of 7",
    radio="A1",
    role="ACCESS POINT",
    structure="on MAST M1",
    looks=("looks over", "S1 S2 S4 S5", "sector 90°, reach 412 m"),
    climb="Climb 1 of 6. First up of its cell.",
    stop=Stop(1, "H4 ray is cut: YARD CRANE stands 9.4 m into it at 235 m. Ask for revision D."),
    aims=(
        AimFigure(
            "right",
            "Turn right of",
            "the chapel spire",
            "73.2°",
            lines=(
                "This aim is good to ±0.4°. The beam is 90° wide.",
                "Check: 149.6° left of the water tower.",
                "Spire to tower 137.2°.",
            ),
        ),
        AimFigure(
            "bearing",
            "BEARING MAGNETIC",
            "= true 117.0° minus 1.9°",
            "115.1°",
            lines=("compass, 20 m off steel", "read it to 0.5°, good to ±2°", "middle of the sector"),
        ),
        AimFigure(
            "bearing",
            "BEARING TRUE",
            "declination 1.9° E ±0.3°, 2026-11-25",
            "117.0°",
            lines=("from true north", "WMM2025, 0.2° E a year"),
        ),
    ),
    tilt=TiltFigure("0.6°", "UP", "", ("Beam 1.4° down: 2.0° is built in.", "0.6° up at the bracket is right.")),
    height=SideFigure("HEIGHT ABOVE GROUND", "13.0 m", "42 ft 8 in"),
    side=SideFigure("SIDE OF THE MAST", "ESE", side_deg=117.0),
    sweep=SweepBlock("CLOSE ENOUGH", "±2°", ("the beam is 90° wide", "no sweep: set it and tighten")),
    plan=PlanScene(
        structures=STRUCTURES,
        waters=WATERS,
        radio=A1,
        hops=(PlanHop(S1, True), PlanHop(S2, True), PlanHop(S4, False, cut_at=0.63), PlanHop(S5, True)),
        aim_deg=117.0,
        aim_words="117.0° true",
        limit_deg=45.0,
        declination_deg=1.9,
        flags=(PlanFlag(1, "stop", (302.0, 122.0)),),
    ),
    foot=(),
    elevation=ElevationScene("A1", "13.0", "", "", -1.4, "beam 1.4° down", "bracket 0.6° up", 0.6),
    level=None,
    stations=(
        StationRow("S1", "127.6°", "10.6° right", "2.0° down", "−51"),
        StationRow("S2", "95.9°", "21.1° left", "1.0° up", "−45"),
        StationRow("S4", "118.8°", "1.8° right", "1.6° down", "none", held=True),
        StationRow("S5", "137.9°", "20.9° right", "3.0° down", "−46"),
    ),
    flags=(Flag(4, "note", "Channel 102 listens 60 s or more before it speaks: radar watch."),),
    sight="Sight: S4 not checked.",
    title=replace(TITLE, subject="A1", sheet="1 / 7", status="held"),
)

OMNI = replace(
    ACCESS_POINT,
    sheet="5 of 7",
    radio="A2",
    structure="on SAIL LOFT",
    looks=("looks over", "S3 S6", "all round, reach 118 m"),
    climb="Climb 4 of 6. One climb: S2, A2.",
    stop=None,
    aims=(
        AimFigure(
            "words",
            "BEARING",
            "no aim: the antenna looks all round",
            "ALL ROUND",
            lines=(
                "Keep it clear of the pole: no metal beside the rod.",
                "The beam passes over all that is nearer than 21 m.",
            ),
        ),
        AimFigure(
            "none",
            "LOOKS OVER",
            "its stations, from true north",
            None,
            rose=(("S3", 95.9), ("S6", 201.4), ("S7", 205.0)),
        ),
        AimFigure("none", "", "", None),
    ),
    tilt=TiltFigure("PLUMB", "NO TILT", "", ("Hang it upright: level it both ways.", "1° out of plumb costs 0.2 dB.")),
    side=SideFigure("SIDE OF THE POLE", "TOP", "above the pole", side_deg=None),
    sweep=SweepBlock("CLOSE ENOUGH", "±1°", ("out of plumb, any way round", "no sweep: set it and tighten")),
    plan=PlanScene(
        STRUCTURES,
        WATERS,
        PlanEnd("A2", (248.0, 222.0), "access_point"),
        (PlanHop(PlanEnd("S3", (470.0, 200.0), "station", 275.9), False),),
        None,
        "",
        declination_deg=1.9,
    ),
    stations=(
        StationRow("S3", "95.9°", "none", "2.3° down", "−52"),
        StationRow("S6", "201.4°", "none", "0.4° down", "−49"),
    ),
    elevation=ElevationScene("A2", "16.0", "", "", 0.0, "level"),
    flags=(Flag(2, "warn", "H3 WILLOWS leave 0.48 of the first zone, 0.60 wanted. Raise S3 by 1.1 m."),),
    sight="Sight: S3 not checked.",
)

UNKNOWN_SENTENCE = "Unknown: give the plan's latitude, longitude and the turn of plan north."
UNANCHORED = replace(
    STATION,
    aims=(
        AimFigure(
            "bearing",
            "BEARING PLAN",
            "from plan north, clockwise",
            "307.6°",
            lines=(
                "This aim is good to ±1.2°. The beam is 27° wide.",
                "No landmark is drawn: add one at 500 m or more.",
            ),
            dial=(307.6, "PN"),
        ),
        AimFigure("bearing", "BEARING MAGNETIC", "by compass", None, UNKNOWN_SENTENCE),
        AimFigure("bearing", "BEARING TRUE", "from true north", None, UNKNOWN_SENTENCE),
    ),
    side=SideFigure("SIDE OF THE PILE", "NW", "of plan", side_deg=307.6),
    plan=replace(STATION.plan, north="PN", declination_deg=None, landmark=None),
)

BY_COMPASS = replace(
    STATION,
    aims=(
        AimFigure(
            "bearing",
            "BEARING MAGNETIC",
            "= true 123.3° plus 14.6°",
            "137.9°",
            lines=(
                "This aim is good to ±2.1°. The beam is 19° wide.",
                "Stand on the line, 20 m off all steel; read to 0.5°.",
                "From A1 to here: 317.9°.",
            ),
            dial=(137.9, "MN"),
        ),
        AimFigure(
            "bearing",
            "BEARING TRUE",
            "declination 14.6° W ±0.4°, 2026-12-01",
            "123.3°",
            lines=("from true north", "WMM2025, 0.1° E a year", "from A1 here: 303.3°"),
        ),
        AimFigure(
            "none",
            "LANDMARK",
            "none allowed",
            None,
            "The gate column is 90 m off: its place is known to 3 m, that is 1.9° and more than a "
            "quarter of the beam. Find one at 500 m or more and add it to the design.",
        ),
    ),
    tilt=TiltFigure("12.5°", "DOWN", "", ("Beam 12.5° down. No tilt built in.", "Nearest step 15°: costs 2.4 dB.")),
    plan=replace(STATION.plan, landmark=None, declination_deg=-14.6),
)

BY_LANDMARK_ONLY = replace(
    STATION,
    aims=(
        replace(
            STATION.aims[0],
            kind="left",
            value="123.4°",
            head="Turn left of",
            note="the old harbour master's house, its second chimney from the north",
        ),
        AimFigure(
            "none",
            "BEARING MAGNETIC",
            "aim by landmark",
            None,
            "No magnetic bearing: the field at this place is too weak for a compass.",
        ),
        STATION.aims[2],
    ),
)

BLANK = replace(
    STATION,
    radio="S9",
    structure="on a mount nobody foresaw",
    looks=("looks at", "", "write down what it looks at"),
    climb="",
    aims=(
        AimFigure(
            "bearing",
            "BEARING MAGNETIC",
            "by compass",
            None,
            "Unknown: draw the mount, or take the far end's bearing and add 180°.",
        ),
        AimFigure("bearing", "BEARING TRUE", "declination 1.9° E ±0.3°, 2026-11-25", None, "Unknown: draw the mount."),
        AimFigure("none", "LANDMARK", "none", None, "No landmark is drawn."),
    ),
    tilt=TiltFigure(
        None, "UNKNOWN", "Unknown: measure both heights.", ("The beam follows the bracket.", "Bracket not chosen.")
    ),
    height=SideFigure("HEIGHT ABOVE GROUND", None, unknown="Unknown: tape it."),
    side=SideFigure("SIDE OF THE MOUNT", None, unknown="Unknown."),
    sweep=SweepBlock("THEN SWEEP SLOWLY", None, ("take the middle",)),
    plan=None,
    elevation=None,
    level=LevelBlock(
        "power not set",
        None,
        "Unknown: choose the far end and its gear.",
        None,
        0,
        "",
        (),
        None,
        "6 dB short after two sweeps: do not tighten, call.",
    ),
    facts=tuple(FactColumn(c.head, tuple((name, None) for name, _ in c.rows)) for c in STATION.facts),
    flags=(),
    sight="Sight: not checked.",
)

MANY_FLAGS = replace(
    ACCESS_POINT,
    stations=tuple(
        StationRow(
            f"S{i}",
            f"{(13.7 * i) % 360:.1f}°",
            f"{i % 45}.4° {'left' if i % 2 else 'right'}",
            f"{i % 9}.1° down",
            f"−{50 + i % 20}",
        )
        for i in range(1, 61)
    ),
    flags=(
        Flag(
            2,
            "stop",
            "A1 sends 3 dB over the limit of 30 dBm for this band and topology: lower the power "
            "to 14 dBm or choose a channel of the upper band, where the limit is 36 dBm.",
        ),
        Flag(
            3,
            "warn",
            "H3 WILLOWS leave 0.48 of the first zone, 0.60 wanted. Raise S3 by 1.1 m, or ask for "
            "pruning in writing, before the leaves come.",
        ),
        Flag(4, "warn", "A1 stands 0.4 m from A2 on the next channel."),
        Flag(5, "note", "Channel 102 listens 60 s or more before it speaks.", "accepted by the owner"),
        Flag(6, "note", "S1 stands over water: reading may swing by 2 dB."),
    ),
)

_LONG = "Pontoon of the Very Old Harbour Company's Northern Quay #4 $x$ \\ [link](a) *bold* _it_ @ref <label> // "
HOSTILE = replace(
    STATION,
    radio="S1-" + "x" * 37,
    role="STATION",
    structure="on " + "مبنى المرفأ القديم 🏗️ " + _LONG * 3,
    looks=("looks at", "A-" + "y" * 38, "W" * 300),
    climb="\u202eevil" + _LONG * 3,
    ticks=tuple(_LONG for _ in range(5)),
    aims=(
        replace(STATION.aims[0], note="W" * 300, lines=tuple(_LONG * 3 for _ in range(3))),
        replace(STATION.aims[1], note=_LONG * 3, lines=tuple(_LONG for _ in range(3))),
        replace(STATION.aims[2], note=_LONG * 3, lines=tuple("漢字" * 100 for _ in range(3))),
    ),
    tilt=replace(STATION.tilt, lines=(_LONG * 3, _LONG * 3)),
    height=replace(STATION.height, second=_LONG),
    side=replace(STATION.side, value="NORTH-NORTH-WEST", second=_LONG),
    sweep=replace(STATION.sweep, lines=(_LONG, _LONG)),
    plan=replace(
        STATION.plan,
        radio=replace(S1, label="S1-" + "x" * 37),
        structures=tuple(replace(s, name=_LONG * 3) for s in STRUCTURES),
        waters=tuple(replace(w, name=_LONG * 3) for w in WATERS),
        landmark=PlanLandmark(_LONG * 3, "640 m", 284.2, 23.4, "23.4°"),
    ),
    foot=(_LONG * 3, _LONG * 3),
    way=(_LONG * 3, _LONG * 3, _LONG * 3),
    elevation=replace(STATION.elevation, near="S1-" + "x" * 37, far="A-" + "y" * 38),
    level=replace(STATION.level, power=_LONG, lines=(_LONG, _LONG), rule=_LONG * 3),
    facts=tuple(FactColumn(c.head, tuple((name, _LONG * 3) for name, _ in c.rows)) for c in STATION.facts),
    flags=tuple(Flag(i, "warn", _LONG * 3) for i in range(1, 6)),
    sight=_LONG,
    cautions=tuple(replace(c, text=_LONG * 3) for c in CAUTIONS),
    call=_LONG * 3,
    title=replace(TITLE, site=_LONG * 3, owner=_LONG * 3, subject="S1-" + "x" * 37, drawn_from=_LONG),
)

ALL = {
    "station": STATION,
    "access_point": ACCESS_POINT,
    "omni": OMNI,
    "unanchored": UNANCHORED,
    "by_compass": BY_COMPASS,
    "by_landmark_only": BY_LANDMARK_ONLY,
    "blank": BLANK,
    "many_flags": MANY_FLAGS,
    "hostile": HOSTILE,
}
