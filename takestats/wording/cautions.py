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
