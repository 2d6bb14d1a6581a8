"""What the stores read and judge: who may be used, what is where, what is owed. Nothing here writes."""
