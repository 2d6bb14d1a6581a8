"""In what condition units are where they are: which of them are not serviceable."""
