"""The facts of the equipment: what a unit is, where it was, what was said of it."""

from .findings import (
    Attachment,
    Discrepancy,
    Filling,
    OpenItem,
    OpenItemClosed,
    Reservation,
    Settlement,
    UnitTag,
    WalkRound,
)
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
from .procedures import BottleChart, Calibration, RuleSet, Step, StepList, Tool
from .swaps import (
    InspectorCall,
    Signature,
    StepEntry,
    Swap,
    SwapEnd,
    SwapMovement,
    SwapPresence,
)
from .units import Identification, Unit, UnitMerge

__all__ = [
    "Alternate",
    "Attachment",
    "BottleChart",
    "Calibration",
    "Certificate",
    "Correction",
    "Discrepancy",
    "Filling",
    "Fit",
    "FittedPeriod",
    "Identification",
    "InspectorCall",
    "LifeStatement",
    "Maker",
    "MakerAlias",
    "ModificationStandard",
    "Movement",
    "OpenItem",
    "OpenItemClosed",
    "PartNumber",
    "PartPosition",
    "Place",
    "Reservation",
    "RuleSet",
    "Settlement",
    "Sighting",
    "Signature",
    "Stay",
    "Step",
    "StepEntry",
    "StepList",
    "Swap",
    "SwapEnd",
    "SwapMovement",
    "SwapPresence",
    "Title",
    "Tool",
    "Unit",
    "UnitMerge",
    "UnitTag",
    "WalkRound",
]
