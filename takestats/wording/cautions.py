"""Which cautions stand at the foot of every page about grafting?"""

from __future__ import annotations

CAUTIONS = (
    "Knives: cut away from the body and the holding hand, keep the knife sharp and the bench lit, "
    "stop when hands are cold or tired.",
    "Sealants, waxes, disinfectants and fungicides: the label of the product and the local "
    "authority "
    "decide whether and how one is used; this page recommends none.",
    "Protected cultivars: check plant breeders' rights and licences before you propagate or sell.",
    "Scion wood and young plants that move between places may need inspection or a plant passport; "
    "ask the local plant health authority.",
    "For work that needs a licence, and for anything the label or the law says, ask somebody "
    "qualified where you are.",
)

#: At the foot of every plan for a combination not yet tried.
NEW_COMBINATION = (
    "Before you multiply or move it: check plant breeders' rights and licences of the scion, and "
    "ask the local plant health authority about rules for moving scion wood and young plants.",
    "A first-year take is not a lasting union: delayed failure shows in later seasons; count again "
    "next spring and after, before it is sold on.",
)
