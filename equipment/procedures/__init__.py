"""The operator's data of how a change is done: rule sets, step lists, charts."""
