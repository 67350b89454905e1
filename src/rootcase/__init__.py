"""Rootcase: the care of the soil and roots of landscape trees, from the field sheet to the client's report.

The job has seven stages, and each has one word on every floor of the code:

1. observe    record what is seen at the tree, in the units a person thinks in
2. compare    set it beside healthy trees of the same kind, the yardstick
3. explain    what takes the growth away, and how sure that is
4. prescribe  what buys most for the client's money and wishes; often nothing
5. make       compost and liquid extract, checked, released or refused
6. apply      the right day, the load, the round, the record
7. prove      whether it worked, against trees left untreated
"""

__version__ = "0.1.0"
