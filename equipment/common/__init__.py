"""What every room shares: how a unit is named, scanned, lettered and printed."""
