"""What every tradition has to say, because it is asked for by its name: uses of members."""

from __future__ import annotations

LIQUID = ("water", "deep-water", "shallows")
PASSABLE = ("door", "entrance", "gate", "court screen", "inner screen")
LAMPS = (
    *("lamp", "small lamp", "large lamp", "double lamp"),
    *("wall lamp", "small wall lamp", "large wall lamp", "double wall lamp"),
    *("veranda lamp", "gallery lamp"),
)
SHINING = (*LAMPS, "garden-lamp")
USES = (
    *(
        "ground",
        "drip",
        "culvert",
        "post",
        "pier",
        "board",
        "flag",
        "warm floor",
        "step",
        "floor step",
        "ground step",
        "retaining wall",
        "hearth floor",
    ),
    *("screen wall", "column", "column foot", "column base", "capital"),
    *("arcade beam", "arcade springer", "eaves beam", "eaves springer"),
    *("upper floor", "veranda", "gallery", "terrace", "bracket", "trimmer", "rail"),
    *("tread", "stringer", "well trimmer", "well rail"),
    *("slope", "eave", "verge", "barge", "ridge", "deck", "gablet", "clerestory"),
    *(
        "dormer window",
        "gable",
        "inner gable",
        "party gable",
        "gable post",
        "gable pier",
        "parapet",
        "parapet cap",
    ),
    *("roof rail", "spout", "spout lip", "ridge beam", "purlin", "collar", "roof post", "brace"),
    *("underfloor flue", "fire mouth", "flue", "solid flue", "flue cap", "hood"),
    *("path", "stepping-stone", "shoe-stone", "garden-gravel", "raked-gravel", "garden-soil"),
    *("moss", "hedge", "shrub", "fern", "bloom", "blossom", "foliage", "needles", "trunk"),
    *("bough", "bamboo", "culm", "boulder", "bank-stone", "pond-edge", "bridge", "fountain"),
    *("basin", "garden-bench", "bucket", "well-head", "well-post", "well-roof", "well-ridge"),
    *("windlass", "shed-post", "shed-wall", "shed-door", "shed-roof", "firewood"),
    *("firewood-dark", "tub", "wicker", "pole", "washing", "washing-blue", "cloth"),
    *("fruit", "straw", "terrace-stone", "store-jar", "vat", "vat-water", "pot", "pot-tree"),
    *("screen-foot", "screen-wall", "screen-panel", "screen-cap"),
    *LIQUID,
    *SHINING,
)
"""Of members that stages hand over; the trades of its builders ask for more."""
OF_KIND = {"liquid": LIQUID, "passable": PASSABLE, "lumens": SHINING}
"""What some of them are made of."""
