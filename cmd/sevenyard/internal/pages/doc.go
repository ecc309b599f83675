// Package pages has the command sheet, which writes pages to print.
package pages
