"""How a lower app tells an upper one that facts changed, without importing it.

Receivers run inside the sender's transaction. ``unit_ids`` and ``aircraft_ids`` are lists of
primary keys, or None for "many: do not compute now, let the job find what is stale".
"""

from django.dispatch import Signal

#: Sent by every act after its facts are written. Arguments: unit_ids, aircraft_ids.
facts_changed = Signal()
