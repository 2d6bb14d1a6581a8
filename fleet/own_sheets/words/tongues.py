"""Words of headings, items and places in German, French and Spanish, to the English ones that are known here."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

#: Whole words without accents, in capitals.
_ENGLISH = {
    # headings
    "LETZTE LETZTER LETZTES DERNIER DERNIERE ULTIMA ULTIMO": "LAST",
    "NACHSTE NACHSTER NAECHSTE PROCHAIN PROCHAINE PROXIMA PROXIMO": "NEXT",
    "PRUFUNG PRUEFUNG EPREUVE PRUEBA PRUF": "TEST",
    "UBERHOLUNG UEBERHOLUNG REVISION_GENERALE": "OVERHAUL",
    "KENNZEICHEN KENNZ IMMAT IMMATRICULATION MATRICULA LFZ FLUGZEUG AVION AERONAVE": "REGISTRATION",
    "GERAT GERAET AUSRUSTUNG BEZEICHNUNG DESIGNATION EQUIPEMENT EQUIPO DESCRIPCION": "EQUIPMENT",
    "ORT EINBAUORT EMPLACEMENT UBICACION POSICION LIEU LAGE": "LOCATION",
    "TEILE TEILENUMMER TEILENR REFERENCE": "P/N",
    "SERIEN SERIENNUMMER SERIENNR SERIE WERKNUMMER WERK WERKNR": "SERIAL",
    "HERST HERSTELLDATUM HERSTELLUNG BAUJAHR FAB FABRICATION FABRICACION": "MFG",
    "BEM BEMERKUNG BEMERKUNGEN REMARQUES OBSERVACIONES": "REMARKS",
    "GUTIG GULTIG FALLIG FAELLIG ECHEANCE VALIDITE VENCIMIENTO CADUCIDAD ABLAUF": "EXPIRY",
    "DATUM FECHA": "DATE",
    "HIDROSTATICA HIDROSTATICO HYDROSTATIQUE HYDROSTATISCH HYDROSTATISCHE": "HYDROSTATIC",
    "ERSATZTEILE ERSATZ REPUESTOS REPUESTO RECHANGE RECHANGES": "SPARES",
    "GEWICHTSKONTROLLE WIEGUNG PESADA PESAJE PESEE": "WEIGHT",
    "GEWICHT POIDS PESO": "WEIGHT",
    # items
    "FEUERLOSCHER FEUERLOESCHER EXTINCTEUR EXTINTOR": "EXTINGUISHER",
    "RAUCHHAUBE RAUCHHAUBEN CAGOULE": "SMOKE HOOD",
    "SCHWIMMWESTE SCHWIMMWESTEN GILET CHALECO": "LIFE VEST",
    "NOTRUTSCHE RUTSCHE RUTSCHEN TOBOGGAN TOBOGGANS TOBOGAN RAMPA": "SLIDE",
    "SAUERSTOFFFLASCHE SAUERSTOFF OXYGENE OXIGENO": "OXYGEN",
    "FLASCHE BOUTEILLE BOTELLA": "BOTTLE",
    "MEGAFON MEGAPHONE MEGAFONO": "MEGAPHONE",
    "TASCHENLAMPE LAMPE LINTERNA": "FLASHLIGHT",
    "CANOT RADEAU BALSA RETTUNGSINSEL": "RAFT",
    # places
    "TUR TUER PORTE PUERTA": "DOOR",
    "VORN VORNE VORDERE AVANT DELANTERO DELANTERA": "FWD",
    "HINTEN HINTERE ARRIERE TRASERO TRASERA": "AFT",
    "LINKS GAUCHE IZQUIERDA IZQUIERDO IZQ": "LEFT",
    "RECHTS DROITE DERECHA DERECHO DER": "RIGHT",
    "KABINE CABINE CABINA": "CABIN",
    "KUCHE OFFICE BORDKUCHE": "GALLEY",
    "REIHE RANG FILA": "ROW",
    "LAGER MAGASIN ALMACEN": "STORES",
}
_WORDS = {word: english for words, english in _ENGLISH.items() for word in words.split()}
#: These mean it only beside another foreign word: alone they are other words in English.
_BESIDE = {
    "REVISION": "OVERHAUL",
    "G": "LEFT",
    "D": "RIGHT",
    "I": "LEFT",
    "NO": "",
    "N": "",
    "DE": "",
}
_ALONE = frozenset(
    {"OFFICE", "DER", "RANG", "FAB", "LIEU", "DESIGNATION", "MEGAPHONE", "REFERENCE"}
)


@lru_cache(maxsize=50_000)
def in_english(words: str) -> str:
    """Bare words with those of another language in English; as they are where none is known."""
    found = words.split()
    said = {word for word in found if word in _WORDS}
    if not said:
        return words
    is_foreign = bool(said - _ALONE)
    told = [_WORDS.get(word) or (_BESIDE.get(word, word) if is_foreign else word) for word in found]
    return " ".join(word for word in told if word)


_MONTHS = (
    ("JAN", "ENE ENERO JANUAR JANNER JAENNER JANV JANVIER"),
    ("FEB", "FEBRERO FEBRUAR FEVR FEVRIER FEV"),
    ("MAR", "MARZO MARZ MAERZ MRZ MARS"),
    ("APR", "ABR ABRIL AVR AVRIL"),
    ("MAY", "MAYO MAI"),
    ("JUN", "JUNIO JUNI JUIN"),
    ("JUL", "JULIO JULI JUIL JUILLET"),
    ("AUG", "AGO AGOSTO AOUT"),
    ("SEP", "SEPT SEPTIEMBRE SETIEMBRE SET SEPTEMBRE"),
    ("OCT", "OCTUBRE OKT OKTOBER OCTOBRE"),
    ("NOV", "NOVIEMBRE NOVEMBRE"),
    ("DEC", "DIC DICIEMBRE DEZ DEZEMBER DECEMBRE"),
)
_MONTH = {word: month for month, words in _MONTHS for word in words.split()}
_NAMED = re.compile(
    r"^(\s*(?:\d{1,2}\.?[ .\-/]*)?(?:de )?)([^\W\d_]{3,10})(\.?[ .\-/]*(?:de )?\d{2,4}\s*)$",
    re.IGNORECASE,
)


@lru_cache(maxsize=50_000)
def months_in_english(text: str) -> str:
    """A date whose month is named in German, French or Spanish, with the English name; other texts as they are."""
    found = _NAMED.match(text)
    if found is None:
        return text
    plain = unicodedata.normalize("NFKD", found[2].upper())
    month = _MONTH.get("".join(c for c in plain if not unicodedata.combining(c)))
    if month is None:
        return text
    before, after = (re.sub(r"(?i)de |\.", " ", part) for part in (found[1], found[3]))
    return " ".join(f"{before} {month} {after}".replace("-", " ").replace("/", " ").split())


def is_foreign(words: str) -> bool:
    """Whether bare words are of a tongue that writes the day first."""
    said = {word for word in words.split() if word in _WORDS}
    return bool(said - _ALONE)
