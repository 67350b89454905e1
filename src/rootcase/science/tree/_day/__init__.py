"""The machine loops of the four-layer day: a block of lanes through all days, every loop straight, branch-free and as
wide as the processor's vectors.

Algebra before code. Water is held as a share of each layer's store (x). With q = 1 - ready share, u = min(q, x) times
the drained share of the layer is q times its supply; with R the root-weighted sum of u, A = C R + q k_C and
B = R + q k_C, a day draws E0 (n1 B + n2 A) / (A B) w u of a layer's store, where n1, n2 and w never change and E0 is
taken times what the leaves drink: one division a day. Each day does only what it needs: no rain and nothing perched,
no filling and no exponential; nothing that reaches the lower layers, no filling of those; no neighbours or no turf in
the block, none of their terms; expansion in the spring window alone, the share of demand met in the bud-set window
alone.

A block lives in one flat scratch, row after row at fixed places, so that the compiler sees that no row touches
another; sums run over the layers in their order, never across lanes.
"""
