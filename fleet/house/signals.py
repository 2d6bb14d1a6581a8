"""How a lower app tells an upper one that facts changed, without importing it. News only: who tells reads
no answer, and nobody need hear it. What must be answered or done is asked by :mod:`fleet.house.ports`.

Receivers run inside the sender's transaction. ``unit_ids`` and ``aircraft_ids`` are lists of
primary keys, or None for "many: do not compute now, let the job find what is stale".
"""

from django.dispatch import Signal

#: Sent by every act after its facts are written. Arguments: unit_ids, aircraft_ids.
facts_changed = Signal()
