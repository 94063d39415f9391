"""What people see of a plan: the page, the map, the workbook."""
