"""From the plan to the takeoff: solved shape, areas, edges, joints, machine reach, faces."""
