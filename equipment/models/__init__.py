"""The facts of the equipment: what a unit is, where it was, what was said of it."""

from .movements import Correction, FittedPeriod, Movement, Place, Stay
from .papers import Certificate, LifeStatement, Sighting, Title
from .parts import (
    Alternate,
    Fit,
    Maker,
    MakerAlias,
    ModificationStandard,
    PartNumber,
    PartPosition,
)
from .units import Identification, Unit, UnitMerge

__all__ = [
    "Alternate",
    "Certificate",
    "Correction",
    "Fit",
    "FittedPeriod",
    "Identification",
    "LifeStatement",
    "Maker",
    "MakerAlias",
    "ModificationStandard",
    "Movement",
    "PartNumber",
    "PartPosition",
    "Place",
    "Sighting",
    "Stay",
    "Title",
    "Unit",
    "UnitMerge",
]
