"""Stock-takes: a store or a bin counted by scan, its differences settled by named acts."""
