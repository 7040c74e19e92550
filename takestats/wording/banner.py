"""What must stand first wherever invented or published records are shown?"""

from __future__ import annotations


def banner_line(
    *, invented: bool, seed: int | None, truth: str, source: str, reconstructed: str
) -> str:
    """The line for the page's head, captions, tables and labels; blank for own records."""
    if invented:
        parts = ["INVENTED DATA"]
        if seed is not None:
            parts.append(f"seed {seed}")
        if truth:
            parts.append(f"the known truth is in {truth}")
        return ", ".join(parts) + "."
    if source and reconstructed:
        how = "" if reconstructed == "yes" else f": {reconstructed.rstrip('.')}"
        return f"Source: {source.rstrip('.')}. Counts reconstructed{how}."
    if source:
        return f"Source: {source.rstrip('.')}."
    if reconstructed:
        how = "" if reconstructed == "yes" else f": {reconstructed.rstrip('.')}"
        return f"Counts reconstructed{how}."
    return ""
