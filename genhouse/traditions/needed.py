"""What every tradition has to say, because it is asked for by its name: uses of members, and roles."""

from __future__ import annotations

USES = (
    *("ground", "drip", "yard", "culvert", "post", "board", "flag", "step", "hearth floor"),
    *("upper floor", "veranda", "gallery", "terrace", "bracket", "trimmer", "rail"),
    *("tread", "stringer", "well trimmer", "well rail"),
    *("slope", "eave", "verge", "barge", "ridge", "deck", "gablet", "clerestory"),
    *("dormer window", "gable", "inner gable", "gable post", "parapet", "parapet cap"),
    *("roof rail", "ridge beam", "purlin", "collar", "roof post", "brace"),
    *("flue", "solid flue", "flue cap", "hood"),
)
"""Of members that stages hand over."""

LIQUID = ("water", "deep-water", "shallows")
PASSABLE = ("door", "gate-leaf", "screen", "partition-screen")
SHINING = (
    *("lamp", "small-lamp", "large-lamp", "double-lamp", "wall-lamp", "small-wall-lamp"),
    *("large-wall-lamp", "double-wall-lamp", "veranda-lamp", "gallery-lamp", "garden-lamp"),
)
ROLES = (
    *LIQUID,
    *PASSABLE,
    *SHINING,
    *("hearth", "lattice", "mat", "name-board", "partition", "plate", "plinth", "porch-post"),
    *("porch-tile", "post", "ridge", "sill", "table", "tie", "garden-wall", "wall-cap"),
    *("path", "stepping-stone", "garden-gravel", "raked-gravel", "garden-soil", "moss", "hedge"),
    *("shrub", "fern", "bloom", "blossom", "foliage", "needles", "trunk", "bough"),
    *("bamboo", "culm", "boulder", "bank-stone", "pond-edge", "bridge", "fountain"),
    *("basin", "garden-bench", "bucket", "well-head", "well-post", "well-roof", "well-ridge"),
)
"""Of parts that trades, gardens and lamps are made of: some of a kind of material."""
OF_KIND = {"liquid": LIQUID, "passable": PASSABLE, "lumens": SHINING}
