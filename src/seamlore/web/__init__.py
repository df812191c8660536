"""The table in the browser: routes, templates and static files over the steps; loopback only."""
