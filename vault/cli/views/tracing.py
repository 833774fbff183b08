"""A trace as a tree on a terminal, with the short answer below: where the pieces are."""

from collections.abc import Iterator

from vault.actions.tracing import Trace, TraceTree
from vault.cli.show import Shown


def traced_shown(traced: Trace) -> Shown:
    """Return where a thing came from and what came of it, and which pieces are still here."""
    lines = ["made with, of or for:", *_below(traced.back), "what came of it:", *_below(traced.onward), ""]
    lines += [f"lots: {', '.join(traced.lots) or 'none'}"]
    lines += [f"deliveries: {', '.join(traced.deliveries) or 'none'}"]
    lines += [f"customers: {', '.join(traced.customers) or 'none'}"]
    lines += [f"still here: {left.words}" for left in traced.not_shipped]
    return Shown(traced, (traced.onward.words, *lines))


def _below(tree: TraceTree) -> Iterator[str]:
    if not tree.children:
        yield "  nothing is recorded"
    for child in tree.children:
        yield from _branch(child, "  ")


def _branch(tree: TraceTree, indent: str) -> Iterator[str]:
    yield f"{indent}{tree.words}" + (" (see above)" if tree.again else "")
    for child in tree.children:
        yield from _branch(child, f"{indent}  ")
