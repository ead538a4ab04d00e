// Package words writes what people read: numbers, signs, clock times, counts,
// and text made safe to show.
//
// What it returns is proper Unicode (f/2.8, °, −, ×, …). ASCII and Plain turn
// that into other forms, by one table of signs.
package words
