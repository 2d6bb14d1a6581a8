"""The sorts of step, each declared in a module of this room: one line each, and nothing else to tell."""

from __future__ import annotations

from typing import Any

from equipment.judging.declaring.sort import Sort
from equipment.judging.verdicts import answer_field_of

from .confirm import CONFIRM
from .count import COUNT
from .endurance import ENDURANCE
from .function import FUNCTION
from .leak import LEAK
from .measured import MEASURED
from .note import NOTE
from .photo import PHOTO
from .pressure import PRESSURE
from .resistance import RESISTANCE
from .series import SERIES
from .torque import TORQUE
from .weight import WEIGHT

SORTS: tuple[Sort[Any], ...] = (
    CONFIRM,
    COUNT,
    TORQUE,
    RESISTANCE,
    PRESSURE,
    FUNCTION,
    ENDURANCE,
    WEIGHT,
    MEASURED,
    LEAK,
    SERIES,
    NOTE,
    PHOTO,
)
BY_CODE = {sort.code: sort for sort in SORTS}
# Code and words, as fields and sheets offer them.
CHOICES = tuple((sort.code, sort.words) for sort in SORTS)
# The fields about whose unit somebody may be asked.
QUESTIONED = tuple(dict.fromkeys(name for sort in SORTS for name in sort.questioned))
# Every name that an entry may carry, and nothing else: what is sent is narrowed to these.
NAMES = (
    *dict.fromkeys(name for sort in SORTS for name in sort.typed),
    *(answer_field_of(name) for name in QUESTIONED),
)
