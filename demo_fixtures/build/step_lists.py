"""The invented step lists: what is done at a door, a wing or a stowage, in the order of the work.

The practice is that of the trade; every number, document and tool is invented.
"""

from __future__ import annotations

from .step_lists_cabin import BOTTLE, LIGHT, LIGHT_PACK, PORTABLE_EXTINGUISHER, PORTABLE_OXYGEN
from .step_lists_door import DOOR_CYLINDER, DOOR_SLIDE, OVERWING, SLIDE_RAFT

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
)
