"""The ground: pure maths on numpy. Knows neither YAML nor paper."""
