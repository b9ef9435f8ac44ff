"""The code tables of protocol/SPEC.md, which the protocol's own tests hold to its rows: nothing here is a list of
its own that could fall behind."""

import pathlib

TEXT = (pathlib.Path(__file__).parents[2] / "protocol" / "SPEC.md").read_text(encoding="utf-8")


def table(heading):
    """Rows of the table below a heading, by their columns' names."""
    below = TEXT.split(f"\n### {heading}\n")[1].split("\n#")[0]
    lines = [line.strip("|").split("|") for line in below.splitlines() if line.startswith("|")]
    (names, _), rows = lines[:2], lines[2:]
    assert rows, f"SPEC.md has no table below {heading}"
    return [{name.strip(): cell.strip() for name, cell in zip(names, row, strict=True)} for row in rows]


def span(text):
    """"1-5" as a range, both ends included."""
    low, high = map(int, text.split("-"))
    return range(low, high + 1)


GRADES = {"none": range(1), "sign": range(1), "severity": range(1, 4), "M stage": range(6)}
LESIONS = {int(row["Number"]): GRADES[row["Grades"]] for row in table("Lesions")}
# Letters that go out: the atlas's, or our own where it has none.
OWN_LETTERS = {int(row["Number"]): row["Letters"] for row in table("Lesions")}
ATLAS = {int(row["Number"]): (row["Letters"], row["Read in"] != "memory") for row in table("Letters of the atlas")}
# Of no cow: washing between farms.
TOOLS = {int(row["Number"]) for row in table("Actions") if row["About"] == "tools"}
# What was seen or felt and is no lesion.
SIGNS = tuple(int(row["Number"]) for row in table("Lesions") if row["Grades"] == "sign")
ACTIONS = {int(row["Number"]): row["Days"] == "yes" for row in table("Actions")}
SCALES = {int(row["Number"]): span(row["Values"]) for row in table("Scales")}
KINDS = [row["Name"].strip("`") for row in table("Tags of CalliperKind")]
# Of claws: 0 is the gauge block.
DIMENSIONS = [int(row["Number"]) for row in table("Dimensions") if row["Number"] != "0"]
