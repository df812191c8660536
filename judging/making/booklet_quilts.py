"""Twenty whole quilts as draft files: every setting, borders of every kind, inches and centimeters. Invented."""

_MANY = """kind N Nine Patch
kind S Shoo Fly
kind C Churn Dash
kind O Ohio Star
kind P plain light
"""

QUILTS: dict[str, str] = {
    "several kinds, plain squares": f"""quilt Porch
finished 9 in
row N P S P N
row P C P C P
row S P O P S
border 4 in, butted, brown stripe
{_MANY}""",
    "on point, sashing, triangles": """quilt Garden path
made of Bear's Paw
finished 10 1/2 in
rows 4
columns 3
set on point
sashing 2 in, cornerstones
border 5 in, mitered, green
""",
    "medallion": """quilt Hearth
made of Star of the East
finished 18 in
rows 1
columns 1
border 3 in, squares, red
border 3 in, squares
  repeat mirrored 3 in of Half-Square Triangle
  corner Four Patch
border 6 in, mitered, brown
""",
    "54-40 or Fight": """quilt Fifty-four forty
made of 54-40 or Fight
finished 12 in
rows 5
columns 4
border 4 in
""",
    "barn raising": """quilt Barn
made of Log Cabin
finished 10 in
rows 4
columns 4
turn barn raising
""",
    "on point, plain between": """quilt Meadow
made of Nine Patch
every other plain light
finished 6 in
rows 4
columns 3
set on point
border 6 in, butted, shirting
""",
    "half blocks": """quilt Ladder
made of Hourglass
finished 9 in
rows 3
columns 3
set on point, half blocks
""",
    "offset": """quilt Wall
made of Churn Dash
finished 8 in
rows 4
columns 4
set offset
""",
    "offset, plain ends": """quilt Bricks
made of Four Patch
finished 8 in
rows 4
columns 4
set offset, plain ends
border 2 in, blue
""",
    "strips": """quilt Lanes
made of Pinwheel
finished 6 in
rows 6
columns 4
set strips 4 in, outside
""",
    "strips on point": """quilt Lanes on point
made of Nine Patch
finished 6 in
rows 5
columns 3
set strips 4 in, on point
""",
    "sashing outside": """quilt Window
made of Sawtooth Star
finished 12 in
rows 3
columns 3
sashing 2 in, outside, cornerstones
""",
    "sashing, centimeters": """quilt Fenster
made of Shoo Fly
finished 22.5 cm
rows 4
columns 3
sashing 5 cm by 7.5 cm
border 10 cm, mitered
""",
    "set-in stars, centimeters": """quilt Stern
made of LeMoyne Star
finished 30 cm
rows 2
columns 2
border 8 cm, squares
""",
    "partial seams": """quilt Bright
made of Bright Hopes
finished 8 in
rows 4
columns 5
""",
    "mirrored and turned": """quilt Turned
finished 9 in
row S S/90 S/180
row S/m S/m90 S/270
kind S Split Nine Patch
""",
    "not read, here and there": """quilt In part
finished 9 in
row N ? N
row N N ?
kind N Nine Patch
sashing 1 in
""",
    "three sides": """quilt Bed
made of Ohio Star
finished 12 in
rows 3
columns 2
border 6 in, red
  top 0 in
border 2 in, squares, green
""",
    "pieced at top and bottom": """quilt Geese
made of Nine Patch
finished 9 in
rows 4
columns 4
border 3 in, butted, red
  repeat top, bottom: 3 in of Half-Square Triangle
""",
    "sampler of nine": """quilt Sampler
finished 12 in
row SS OS BP
row CD NP SF
row FP DP BH
sashing 2 in, cornerstones
border 4 in, brown
kind SS Sawtooth Star
kind OS Ohio Star
kind BP Bear's Paw
kind CD Churn Dash
kind NP Nine Patch
kind SF Shoo Fly
kind FP Four Patch
kind DP Dutchman's Puzzle
kind BH Bright Hopes
""",
}
