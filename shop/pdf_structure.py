"""What WeasyPrint 70 leaves undone for PDF/UA-1 (ISO 14289-1:2014), done on its objects before they are written.

- 7.5: every table header cell says what it heads (/Scope).
- 7.18.1 and the print flag of ISO 32000-1 12.5.3: link annotations are printed.
- 7.1: running headers and footers are artifacts, not loose text that a screen reader would read on every page.
"""

from typing import Any

import pydyf

PRINT_FLAG = 4  # ISO 32000-1:2008 table 165, bit position 3
HEADER_SCOPES = {"/THead": "/Column", "/TBody": "/Row"}

Objects = dict[bytes, Any]
MarkedContent = set[tuple[Any, int]]


def finish(pdf: pydyf.PDF) -> None:
    objects: Objects = {
        item.reference: item
        for item in pdf.objects
        if isinstance(item, (pydyf.Dictionary, pydyf.Stream)) and item.number
    }
    reachable: MarkedContent = set()
    scope_headers(objects[pdf.catalog["StructTreeRoot"]], objects, reachable)
    for item in list(objects.values()):
        if isinstance(item, dict) and item.get("Type") == "/Annot":
            item["F"] = PRINT_FLAG
        if isinstance(item, dict) and item.get("Type") == "/Page":
            mark_artifacts(item, objects[item["Contents"]].stream, reachable)


def scope_headers(
    node: Any, objects: Objects, reachable: MarkedContent, scope: str = "/Column", page: Any = None
) -> None:
    """Walk the structure tree: give each TH its scope, and note each (page, id) of marked content found in it."""
    page, tag = node.get("Pg", page), node.get("S")
    scope = HEADER_SCOPES.get(tag, scope)
    if tag == "/TH":
        attribute = pydyf.Dictionary({"O": "/Table", "Scope": scope})
        node["A"] = pydyf.Array([node["A"], attribute]) if "A" in node else attribute
    children = node.get("K", [])
    for child in children if isinstance(children, list) else [children]:
        target = objects.get(child, child) if isinstance(child, bytes) else child
        if isinstance(target, int):
            reachable.add((page, target))
        elif isinstance(target, dict) and "MCID" in target:
            reachable.add((target.get("Pg", page), target["MCID"]))
        elif isinstance(target, dict):
            scope_headers(target, objects, reachable, scope, page)


def mark_artifacts(page: Any, operators: list[Any], reachable: MarkedContent) -> None:
    """Content the structure tree does not reach is page furniture: `/Span <</MCID 3>> BDC` becomes an artifact."""
    for place, operator in enumerate(operators):
        if operator != b"BDC" or not isinstance(operators[place - 1], dict):
            continue
        if (page.reference, operators[place - 1].get("MCID")) not in reachable:
            operators[place - 2 : place] = [b"/Artifact", pydyf.Dictionary({"Type": "/Pagination"})]
