"""The facts of the equipment: what a unit is, where it was, what was said of it."""

from .complement import Cabin, ComplementRule
from .cylinders import CylinderDesign, CylinderSpecification, Requalification
from .findings import (
    Attachment,
    Discrepancy,
    Filling,
    Reservation,
    Settlement,
    UnitTag,
    WalkRound,
)
from .movements import Correction, Movement, Place
from .open_items import OpenItem, OpenItemClosed, RepeatActionDone
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
from .stays import FittedPeriod, Stay
from .stores import (
    Hold,
    HoldEnd,
    IncomingInspection,
    ShopOrder,
    ShopPromise,
    ShopReturn,
    StoresRule,
    Transport,
)
from .swaps import (
    InspectorCall,
    Signature,
    StepEntry,
    Swap,
    SwapEnd,
    SwapMovement,
    SwapPresence,
)
from .units import Identification, Unit, UnitCorrection, UnitMerge

__all__ = [
    "Alternate",
    "Attachment",
    "BottleChart",
    "Cabin",
    "Calibration",
    "Certificate",
    "ComplementRule",
    "Correction",
    "CylinderDesign",
    "CylinderSpecification",
    "Discrepancy",
    "Filling",
    "Fit",
    "FittedPeriod",
    "Hold",
    "HoldEnd",
    "Identification",
    "IncomingInspection",
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
    "RepeatActionDone",
    "Requalification",
    "Reservation",
    "RuleSet",
    "Settlement",
    "ShopOrder",
    "ShopPromise",
    "ShopReturn",
    "Sighting",
    "Signature",
    "Stay",
    "Step",
    "StepEntry",
    "StepList",
    "StoresRule",
    "Swap",
    "SwapEnd",
    "SwapMovement",
    "SwapPresence",
    "Title",
    "Tool",
    "Transport",
    "Unit",
    "UnitCorrection",
    "UnitMerge",
    "UnitTag",
    "WalkRound",
]
