"""Drawings from elsewhere: DXF and other open formats, read as they come.

The way through: bytes → `Source` (line work, layers, texts, what was left out; `reader`) → `Drawing`
(loops with exact arcs, which stands in which; `drawing.find_loops`). Everything stays in drawing units;
whoever uses a drawing decides its unit with `scale`.
"""
