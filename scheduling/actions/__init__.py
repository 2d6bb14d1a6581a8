"""The acts of scheduling: the only place that writes its facts and its due items."""
