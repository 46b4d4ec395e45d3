"""What carries a panel: the centre of mass of each module, hangers and where they sit, what a fixing has to
hold, what its own joints have to hold, feet, and the drilling template. Pure.

Nothing is "passed" here: loads are stated, and an installer judges the wall.
"""
