"""What plant is meant by a name as a nursery writes it?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from takestats.errors import CountsError

_QUOTES = str.maketrans(
    {"‘": "'", "’": "'", "‛": "'", "`": "'", "´": "'", "′": "'", "“": '"', "”": '"', "„": '"'}
)
_RANKS = {
    "subsp.": "subsp.",
    "subsp": "subsp.",
    "ssp.": "subsp.",
    "ssp": "subsp.",
    "var.": "var.",
    "var": "var.",
    "f.": "f.",
    "f": "f.",
    "forma": "f.",
    "fo.": "f.",
}
_UNKNOWN_SPECIES = {"sp.", "sp", "spp.", "spp", "species"}
_HYBRID = {"×", "x", "X"}
_EPITHET = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*\Z")
_SYNONYM = re.compile(r"\s*\((?:syn\.?|synonym|=)[^)]*\)", re.IGNORECASE)


@dataclass(frozen=True, kw_only=True)
class PlantName:
    """The parts of a plant name.

    Parameters
    ----------
    genus : str
        With a capital.
    species : str or None
        The species epithet, without the hybrid sign.
    rank : str or None
        "subsp.", "var.", "f." or "Group".
    infraspecific : str or None
        The epithet that follows the rank (for a Group: its name).
    cultivar : str or None
        Without quotes.
    genus_hybrid, species_hybrid, graft_chimaera, species_unknown : bool
        Hybrid sign before the genus, before the species, the sign of a graft
        chimaera, and "sp." in place of a species.
    """

    genus: str
    species: str | None = None
    rank: str | None = None
    infraspecific: str | None = None
    cultivar: str | None = None
    genus_hybrid: bool = False
    species_hybrid: bool = False
    graft_chimaera: bool = False
    species_unknown: bool = False

    def __str__(self) -> str:
        """The name in one form: the sign ×, straight single quotes."""
        parts: list[str] = []
        if self.graft_chimaera:
            parts.append("+")
        elif self.genus_hybrid:
            parts.append("×")
        parts.append(self.genus)
        if self.species_unknown:
            parts.append("sp.")
        if self.species_hybrid:
            parts.append("×")
        if self.species:
            parts.append(self.species)
        if self.rank == "Group" and self.infraspecific:
            parts.append(f"{self.infraspecific} Group")
        elif self.rank and self.infraspecific:
            parts.extend((self.rank, self.infraspecific))
        if self.cultivar:
            parts.append(f"'{self.cultivar}'")
        return " ".join(parts)


def _refuse(text: str, rule: str, next_step: str) -> CountsError:
    return CountsError(where="plant name", what=f'"{text}"', rule=rule, next_step=next_step)


def _cased(word: str) -> str:
    return word[:1].upper() + word[1:].lower()


@lru_cache(maxsize=4096)
def plant_name(text: str) -> PlantName:
    """Which genus, species and cultivar does this name mean?

    Parameters
    ----------
    text : str
        ``Genus species 'Cultivar'``. The hybrid sign may be × or the letter x,
        quotes may be straight or curly, and ``cv.`` is read as a cultivar.

    Returns
    -------
    PlantName
        genus, species, rank, infraspecific, cultivar, genus_hybrid,
        species_hybrid, graft_chimaera, species_unknown.

    Raises
    ------
    CountsError
        When the text is not a plant name in this form.

    Notes
    -----
    Author names, hybrid formulas (two species joined by ×) and selling names
    without quotes are refused rather than guessed at.

    References
    ----------
    International Code of Nomenclature for algae, fungi, and plants (Shenzhen
    Code, 2018) on hybrids; International Code of Nomenclature for Cultivated
    Plants (9th ed., 2016) on cultivars, Groups and graft chimaeras. Both from
    memory.

    Examples
    --------
    >>> str(plant_name("hamamelis x intermedia ‘Jelena’"))
    "Hamamelis × intermedia 'Jelena'"
    """
    typed = str(text)
    clean = _SYNONYM.sub("", typed.translate(_QUOTES)).strip()
    form = "A plant is written Genus species 'Cultivar'."
    if not clean:
        raise _refuse(typed, form, "Type the name of the plant.")
    cultivar: str | None = None
    quoted = re.search(r"(?<!\w)(['\"])(.+)\1\s*\Z", clean)
    if quoted:
        cultivar = " ".join(quoted.group(2).split())
        clean = clean[: quoted.start()].strip()
    else:
        old_style = re.search(r"\scv\.?\s+(.+)\Z", clean)
        if old_style:
            cultivar = " ".join(old_style.group(1).split())
            clean = clean[: old_style.start()].strip()
    if "'" in clean or '"' in clean:
        raise _refuse(typed, "A cultivar stands in single quotes, at the end.", "Close the quotes.")
    tokens = clean.replace("×", " × ").replace("+", " + ").split()
    genus_hybrid = chimaera = False
    if tokens and tokens[0] in _HYBRID:
        genus_hybrid = True
        tokens = tokens[1:]
    elif tokens and tokens[0] == "+":
        chimaera = True
        tokens = tokens[1:]
    if not tokens or not _EPITHET.match(tokens[0]):
        raise _refuse(typed, form, "Start with the genus.")
    genus = _cased(tokens[0])
    tokens = tokens[1:]
    species: str | None = None
    species_hybrid = unknown = False
    if tokens and tokens[0].lower() in _UNKNOWN_SPECIES:
        unknown = True
        tokens = tokens[1:]
    else:
        if tokens and tokens[0] in _HYBRID:
            species_hybrid = True
            tokens = tokens[1:]
        if tokens and _is_epithet(tokens[0], shouted=clean.isupper()):
            species = tokens[0].lower()
            tokens = tokens[1:]
    rank: str | None = None
    infraspecific: str | None = None
    if len(tokens) >= 2 and tokens[0].lower() in _RANKS and _EPITHET.match(tokens[1]):
        rank = _RANKS[tokens[0].lower()]
        infraspecific = tokens[1].lower()
        tokens = tokens[2:]
    elif len(tokens) >= 2 and tokens[-1].lower() in {"group", "gp"}:
        rank = "Group"
        infraspecific = " ".join(tokens[:-1])
        tokens = []
    if tokens:
        raise _refuse(
            typed,
            f'{form} "{" ".join(tokens)}" has no place in it.',
            "Put the cultivar in single quotes; name anything else in the settings.",
        )
    if species_hybrid and species is None and cultivar is None:
        raise _refuse(typed, form, "Give the name of the hybrid after the sign ×.")
    return PlantName(
        genus=genus,
        species=species,
        rank=rank,
        infraspecific=infraspecific,
        cultivar=cultivar,
        genus_hybrid=genus_hybrid,
        species_hybrid=species_hybrid,
        graft_chimaera=chimaera,
        species_unknown=unknown,
    )


def _is_epithet(word: str, *, shouted: bool) -> bool:
    """Whether a word can be a species: small letters, or all of the name in capitals."""
    if word.lower() in _RANKS or not _EPITHET.match(word):
        return False
    return word.islower() or shouted


def relation_of(scion: PlantName | None, understock: PlantName | None) -> str:
    """How near is this scion to this understock?

    Returns
    -------
    str
        "same species", "same genus", "other genus" or "undetermined". "Other
        family" is never worked out: it is the grower's word.

    Notes
    -----
    A hybrid on one of its parents is "same genus". Where a species is not told
    ("sp.", or a cultivar after the genus only), two plants of one genus are
    "undetermined". A hybrid genus beside another genus is "undetermined",
    because its parents are not in its name.
    """
    if scion is None or understock is None:
        return "undetermined"
    kinds = (scion.genus_hybrid, scion.graft_chimaera)
    other_kinds = (understock.genus_hybrid, understock.graft_chimaera)
    if scion.genus != understock.genus or kinds != other_kinds:
        mixed = any(kinds) or any(other_kinds)
        return "undetermined" if mixed else "other genus"
    if scion.species is None or understock.species is None:
        return "undetermined"
    same = (scion.species, scion.species_hybrid) == (understock.species, understock.species_hybrid)
    return "same species" if same else "same genus"
