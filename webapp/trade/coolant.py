"""What public tables say of glycol in water: when it begins to freeze, and how heavy it is.

A strength is a share of glycol by volume or by mass, and the two are not the same: half by volume of ethylene
glycol is 52.4 % by mass. Public tables also disagree with each other, by 3 K at the strong end, so whoever
asks names the table; nothing here is an average.

Between two rows a straight line is drawn. Beyond the last row nothing is answered: past about 60 to 68 % more
glycol protects less, and pure ethylene glycol is solid at -12.9 °C.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

Kind = Literal["ethylene", "propylene"]
Basis = Literal["by volume", "by mass"]
KINDS: tuple[Kind, ...] = ("ethylene", "propylene")
BASES: tuple[Basis, ...] = ("by volume", "by mass")

PURE_ETHYLENE_MELTS = -12.9  # °C; 260.2 K, handbooks of pure substances
WATER_MOLAR_MASS = 18.015  # g/mol; these three from the atomic weights of IUPAC
MOLAR_MASS: dict[Kind, float] = {"ethylene": 62.07, "propylene": 76.09}

# fmt: off
# ASHRAE Handbook of Fundamentals, freezing points of aqueous glycol solutions: % by volume, % by mass, °C.
_ASHRAE_ETHYLENE = (
    (0, 0, 0), (4.4, 5, -1.4), (8.9, 10, -3.2), (13.6, 15, -5.4), (18.1, 20, -7.8), (19.2, 21, -8.4),
    (20.1, 22, -8.9), (21, 23, -9.5), (22, 24, -10.2), (22.9, 25, -10.7), (23.9, 26, -11.4),
    (24.8, 27, -12), (25.8, 28, -12.7), (26.7, 29, -13.3), (27.7, 30, -14.1), (28.7, 31, -14.8),
    (29.6, 32, -15.4), (30.6, 33, -16.2), (31.6, 34, -17), (32.6, 35, -17.9), (33.5, 36, -18.6),
    (34.5, 37, -19.4), (35.5, 38, -20.3), (36.5, 39, -21.3), (37.5, 40, -22.3), (38.5, 41, -23.2),
    (39.5, 42, -24.3), (40.5, 43, -25.3), (41.5, 44, -26.4), (42.5, 45, -27.5), (43.5, 46, -28.8),
    (44.5, 47, -29.8), (45.5, 48, -31.1), (46.6, 49, -32.6), (47.6, 50, -33.8), (48.6, 51, -35.1),
    (49.6, 52, -36.4), (50.6, 53, -37.9), (51.6, 54, -39.3), (52.7, 55, -41.1), (53.7, 56, -42.6),
    (54.7, 57, -44.2), (55.7, 58, -45.6), (56.8, 59, -47.1), (57.8, 60, -48.3),
)
_ASHRAE_PROPYLENE = (
    (0, 0, 0), (4.8, 5, -1.6), (9.6, 10, -3.3), (14.5, 15, -5.1), (19.4, 20, -7.1), (20.4, 21, -7.6),
    (21.4, 22, -8), (22.4, 23, -8.6), (23.4, 24, -9.1), (24.4, 25, -9.6), (25.3, 26, -10.2),
    (26.4, 27, -10.8), (27.4, 28, -11.4), (28.4, 29, -12), (29.4, 30, -12.7), (30.4, 31, -13.4),
    (31.4, 32, -14.1), (32.4, 33, -14.8), (33.5, 34, -15.6), (34.4, 35, -16.4), (35.5, 36, -17.3),
    (36.5, 37, -18.2), (37.5, 38, -19.1), (38.5, 39, -20.1), (39.6, 40, -21.1), (40.6, 41, -22.1),
    (41.6, 42, -23.2), (42.6, 43, -24.3), (43.7, 44, -25.5), (44.7, 45, -26.7), (45.7, 46, -27.9),
    (46.8, 47, -29.3), (47.8, 48, -30.6), (48.9, 49, -32.1), (49.9, 50, -33.5), (50.9, 51, -35),
    (51.9, 52, -36.6), (53, 53, -38.2), (54, 54, -39.8), (55, 55, -41.6), (56, 56, -43.3), (57, 57, -45.2),
    (58, 58, -47.1), (59, 59, -49), (60, 60, -51.1),
)

# The same handbook: density in kg/m³ at 10, 20, 30, 40, 50, 60 % by volume, by temperature in °C.
DENSITY_STEPS = (10.0, 20.0, 30.0, 40.0, 50.0, 60.0)
_ETHYLENE_DENSITY = (
    (0, (1018.73, 1035.67, 1051.78, 1066.8, 1081.08, 1094.64)),
    (10, (1016.28, 1032.94, 1048.76, 1063.49, 1077.46, 1090.7)),
    (20, (1013.34, 1029.72, 1045.25, 1059.68, 1073.35, 1086.27)),
    (30, (1009.62, 1026.02, 1041.26, 1055.39, 1068.75, 1081.35)),
    (40, (1006.01, 1021.83, 1036.78, 1050.62, 1063.66, 1075.95)),
    (50, (1001.61, 1017.16, 1031.81, 1045.35, 1058.09, 1070.06)),
    (60, (996.72, 1011.99, 1026.36, 1039.61, 1052.04, 1063.69)),
    (70, (991.35, 1006.35, 1020.42, 1033.37, 1045.49, 1056.83)),
    (80, (985.5, 1000.21, 1014, 1026.65, 1038.46, 1049.48)),
    (90, (979.15, 993.59, 1007.09, 1019.44, 1030.95, 1041.65)),
    (100, (972.32, 986.48, 999.69, 1011.74, 1022.95, 1033.33)),
)
_PROPYLENE_DENSITY = (
    (0, (1013.85, 1025.84, 1036.24, 1045.12, 1052.71, 1059)),
    (10, (1011.24, 1022.68, 1032.55, 1040.94, 1048.04, 1053.88)),
    (20, (1008.13, 1019.01, 1028.35, 1036.24, 1042.87, 1048.25)),
    (30, (1004.54, 1014.84, 1023.64, 1031.03, 1037.18, 1042.11)),
    (40, (1000.46, 1010.16, 1018.42, 1025.3, 1030.98, 1035.47)),
    (50, (995.88, 1004.99, 1012.69, 1019.06, 1024.27, 1028.32)),
    (60, (990.82, 999.31, 1006.44, 1012.3, 1017.04, 1020.66)),
    (70, (985.27, 993.12, 999.69, 1005.03, 1009.3, 1012.49)),
    (80, (979.23, 986.44, 992.42, 997.25, 1001.05, 1003.81)),
    (90, (972.7, 979.25, 984.65, 988.95, 992.28, 994.63)),
    (100, (965.68, 971.56, 976.36, 980.14, 983, 984.94)),
)

# Å. Melinder, Properties of Secondary Working Fluids, IIR 2010: the fit of CoolProp 8.0.0 (INCOMP::MEG and
# INCOMP::MPG) at every 5 %: % by mass, °C.
_MELINDER_ETHYLENE = (
    (0, 0), (5, -1.58), (10, -3.36), (15, -5.44), (20, -7.95), (25, -10.97), (30, -14.58), (35, -18.84),
    (40, -23.81), (45, -29.52), (50, -35.99), (55, -43.22), (60, -51.2),
)
_MELINDER_PROPYLENE = (
    (0, -0.03), (5, -1.21), (10, -2.87), (15, -4.87), (20, -7.17), (25, -9.79), (30, -12.79), (35, -16.32),
    (40, -20.57), (45, -25.77), (50, -32.19), (55, -40.16), (60, -50.0),
)
# Lange's Handbook of Chemistry, 15th edition, table 5.13: % by volume, °C.
_LANGE_PROPYLENE = (
    (5, -1.1), (10, -2.2), (15, -3.9), (20, -6.7), (25, -8.9), (30, -12.8), (35, -16.1), (40, -20.6),
    (45, -26.7), (50, -33.3),
)
# US Army TM 5-3895-382-24, ethylene glycol: the °F column (5, -9, -35, -60 °F). Its °C column prints -24 for
# 40 % and -57 for 60 %, which is not the same. The basis is not printed; volume, as coolant is mixed.
# Its propylene column repeats the °F of ethylene, so it is left out.
_ARMY_ETHYLENE = ((30, -15.0), (40, -22.78), (50, -37.22), (60, -51.11))
# fmt: on

DENSITY: dict[Kind, tuple[tuple[float, tuple[float, ...]], ...]] = {
    "ethylene": _ETHYLENE_DENSITY,
    "propylene": _PROPYLENE_DENSITY,
}


class Table(NamedTuple):
    """A freezing curve: its basis, its rows (% of glycol, °C), and where it is printed."""

    basis: Basis
    rows: tuple[tuple[float, float], ...]
    source: str


ASHRAE, MELINDER, LANGE, ARMY = "ASHRAE", "Melinder", "Lange", "Army manual"
LISTS: tuple[str, ...] = (ASHRAE, MELINDER, LANGE, ARMY)
_BY_ASHRAE = (
    "ASHRAE Handbook of Fundamentals, freezing points of aqueous {} glycol (values as CoolProp keeps them)"
)
_BY_MELINDER = "Å. Melinder, Properties of Secondary Working Fluids, IIR 2010 (as fitted by CoolProp 8.0.0)"
TABLES: dict[tuple[Kind, str], Table] = {
    ("ethylene", ASHRAE): Table(
        "by volume", tuple((v, c) for v, _, c in _ASHRAE_ETHYLENE), _BY_ASHRAE.format("ethylene")
    ),
    ("ethylene", MELINDER): Table("by mass", _MELINDER_ETHYLENE, _BY_MELINDER),
    ("ethylene", ARMY): Table("by volume", _ARMY_ETHYLENE, "US Army TM 5-3895-382-24, °F column"),
    ("propylene", ASHRAE): Table(
        "by volume", tuple((v, c) for v, _, c in _ASHRAE_PROPYLENE), _BY_ASHRAE.format("propylene")
    ),
    ("propylene", MELINDER): Table("by mass", _MELINDER_PROPYLENE, _BY_MELINDER),
    ("propylene", LANGE): Table(
        "by volume", _LANGE_PROPYLENE, "Lange's Handbook of Chemistry, 15th ed., table 5.13"
    ),
}
SHARES: dict[Kind, tuple[tuple[float, float], ...]] = {  # % by volume, % by mass
    "ethylene": tuple((v, m) for v, m, _ in _ASHRAE_ETHYLENE),
    "propylene": tuple((v, m) for v, m, _ in _ASHRAE_PROPYLENE),
}
