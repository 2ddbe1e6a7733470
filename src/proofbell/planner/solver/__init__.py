"""The search for a schedule: constraint network, network simplex, branch and bound, neighbourhoods."""
