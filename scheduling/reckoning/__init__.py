"""Due items reckoned and kept: of what a record touches, of what is stale, of everything."""
