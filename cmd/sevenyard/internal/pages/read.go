package pages
