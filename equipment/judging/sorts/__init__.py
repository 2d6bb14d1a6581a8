"""The sorts of step, each declared in a module of its own and listed in ``table``. Pure."""
