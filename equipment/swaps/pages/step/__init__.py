"""The pages of one step of a swap: shown, judged as typed, kept as entered."""
