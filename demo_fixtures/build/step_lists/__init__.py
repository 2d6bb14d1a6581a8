"""The invented step lists: what is done at a door, a wing or a stowage, in the order of the work.

The practice is that of the trade; every number, document and tool is invented.
"""

from __future__ import annotations

from .bottles import BOTTLE, DOOR_CYLINDER
from .in_place import IN_PLACE
from .lights import LIGHT, LIGHT_PACK
from .portables import PORTABLE_EXTINGUISHER, PORTABLE_OXYGEN
from .slides import DOOR_SLIDE, OVERWING, SLIDE_RAFT

STEP_LISTS = (
    DOOR_SLIDE,
    SLIDE_RAFT,
    OVERWING,
    BOTTLE,
    DOOR_CYLINDER,
    LIGHT,
    LIGHT_PACK,
    PORTABLE_OXYGEN,
    PORTABLE_EXTINGUISHER,
    *IN_PLACE,
)
