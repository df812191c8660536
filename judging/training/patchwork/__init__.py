"""Windows of patchwork drawn by rule, with the seams known to the pixel: what the seam network learns from.

A renderer of its own: nothing here is shared with what judges (`judging.rendering`), and no block is taken from the
catalogue. Blocks are put together from units on a grid, logs, strings, frames and chance cuts; cloth is plain, striped,
checked, dotted, flowered, mottled or a picture; over it lie quilting, folds, worn places, shadow and the camera's blur.
"""
