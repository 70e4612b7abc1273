"""The same jobs and answers for programs: JSON under /api/v1, told by /api/v1/openapi.json."""
