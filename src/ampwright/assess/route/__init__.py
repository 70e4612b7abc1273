"""From a site sketch to routes: faults, faces, a graph, the few best routes, their sections and holes."""
