"""The one Pint registry. Quantities of different registries do not mix, so everybody takes it from here.

Pint's own gallon, quart and pint are those of the United States. The names defined here say so, and the
imperial ones say that; nothing in Droplight uses the bare names.

Pressures at a vehicle are gauge pressures: what a gauge shows above the air around it. `absolute` adds that.
"""

from __future__ import annotations

import pint

ureg: pint.UnitRegistry = pint.UnitRegistry()
for _define in (
    "US_gallon = 231 * inch ** 3",  # NIST Handbook 44, Appendix C
    "US_quart = US_gallon / 4",
    "US_pint = US_gallon / 8",
):
    ureg.define(_define)

Q_ = ureg.Quantity
Quantity = pint.Quantity

STANDARD_AIR = Q_(101.325, "kPa")  # the standard atmosphere, exact by definition


def absolute(gauge: Quantity, air: Quantity = STANDARD_AIR) -> Quantity:
    """Return the absolute pressure for a gauge reading, in the gauge's unit.

    gauge: what the gauge shows. air: pressure of the air around it.
    Source: definition of gauge pressure, absolute = gauge + surrounding air.
    """
    return (gauge + air).to(gauge.units)
