"""What grounds an aircraft as far as its equipment goes: one rule, asked by whoever shows, lists or plans."""
