"""Identifiers that are known, and which fact of a mark each one is.

Data identifiers of ASC MH10.8.2 stand before format 06 values, text element identifiers (three
letters and a space) before those of format 12. Of both only those are named here that say something of a
part; others are kept as they stand.
"""

from __future__ import annotations

DATA = {
    "17V": "maker_code",
    "12V": "other",
    "P": "part_number",
    "1P": "part_number",
    "S": "serial",
    "18S": "maker_and_serial",
    "25S": "other",
    "37S": "other",
    "2B": "other",
    "T": "lot",
    "1T": "lot",
    "14D": "expires",
    "16D": "manufactured",
    "Q": "other",
    "4L": "other",
    "7Q": "other",
    "Z": "other",
}
# Of these alone the length is known, so that what follows can be told without a separator.
DATA_LENGTHS = {"17V": 5}

TEXT = {
    "MFR": "maker_code",
    "CAG": "maker_code",
    "SPL": "supplier_code",
    "SER": "serial",
    "SEQ": "part_serial",
    "UCN": "supplier_serial",
    "PNR": "part_number",
    "PNO": "original_part_number",
    "LOT": "lot",
    "LTN": "lot",
    "BCH": "lot",
    "DMF": "manufactured",
    "EXP": "expires",
    "DUN": "other",
    "EUC": "other",
    "UST": "other",
    "BII": "other",
    "USN": "other",
}

# GS1: application identifier to (fact, length, whether the length is fixed).
GS1 = {
    "00": ("other", 18, True),
    "01": ("item_number", 14, True),
    "02": ("other", 14, True),
    "10": ("lot", 20, False),
    "11": ("manufactured", 6, True),
    "12": ("other", 6, True),
    "13": ("other", 6, True),
    "15": ("other", 6, True),
    "16": ("other", 6, True),
    "17": ("expires", 6, True),
    "20": ("other", 2, True),
    "21": ("serial", 20, False),
    "22": ("other", 20, False),
    "37": ("other", 8, False),
    "240": ("other", 30, False),
    "241": ("part_number", 30, False),
    "250": ("other", 30, False),
    "251": ("other", 30, False),
    "400": ("other", 30, False),
    "414": ("other", 13, True),
    "7003": ("other", 10, False),
    "8003": ("asset_type", 30, False),
    "8004": ("asset", 30, False),
}

LABELS = {
    "P/N": "part_number",
    "PN": "part_number",
    "PART NO": "part_number",
    "PART NUMBER": "part_number",
    "S/N": "serial",
    "SN": "serial",
    "SERIAL NO": "serial",
    "SERIAL NUMBER": "serial",
    "SERIAL": "serial",
    "CAGE": "maker_code",
    "MFR": "maker_code",
    "LOT": "lot",
    "BATCH": "lot",
    "DOM": "manufactured",
    "MFG DATE": "manufactured",
    "EXP": "expires",
    "EXPIRY": "expires",
}
