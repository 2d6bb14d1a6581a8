"""What the doors of the rooms share: how units and places are sent and shown."""
