// Package report describes each report once, as a document for people and a
// struct for programs, and writes it as Markdown, JSON and CSV. The terminal's
// renderer is the package text below it.
//
// # One description
//
// A Report holds a Document (facts, headings, paragraphs, tables, lists, notes,
// pictures, code to paste) and the struct that its JSON is encoded from. The
// CSV is that struct laid flat by reflection, so that it has every value of the
// JSON. To add a column is to add a field to the struct, and a Column with its
// note and its cell to the table.
//
// A document's text is proper Unicode and says what it says in words: renderers
// make names safe, turn signs into ASCII or spoken words, and set tones off by
// a sign before they add colour.
//
// # The answer first
//
// A photographer reads a report in failing light, with the sun going down on a
// small screen. So the first 24 lines of 80 columns are the answer, and a
// report ends where a photographer would stop reading. What explains it comes
// with the full report alone; cautions always close it, a line each.
//
// timeline, in this order, each a line where it can be:
//
//  1. The title: name of the shoot, day, hours and zone. A demonstration says so in
//     a line below.
//  2. The verdict, set strong: which way of working, from when to when, at how
//     many moments it holds, least headroom and when. Where nothing holds: the
//     nearest, by how much it misses, and the smallest change that would do.
//  3. Facts labelled by the clock: the settings of camera and flash at the
//     start of the run and at its end. What does not change is said once.
//  4. Flash: how many, in what, how far, on which side of the camera. It stands
//     there for the run; a move is a fact of its own, with its time.
//  5. Picture: how the face comes out, the ratio, background and rim with their
//     signs, and from when the background is nearly white.
//  6. Pack: what follows from the totals.
//  7. Sun: golden hour, sunset and its direction. Watch, only where something
//     applies: sun in the frame, flare, sun in the eyes. Wind, where it is stated.
//     Colour: which white balance to set. Asked: what the look holds.
//  8. The others: each other way of working in half a sentence, what is not carried
//     in one sentence at the end.
//
// Then one table: time, sun, lit side, and a cell for each way of working, the
// verdict's first, by falling importance. What a way of working keeps all day
// stands in its heading (nd: f/2.8, 1/200), the cell has what moves: aperture or
// shutter or ISO, power, headroom; or, behind the sign of a miss, the short
// form of it (1.1 short, 0.4 too bright). Below it stands what fixes the first
// misses.
//
// With the full report follow, each under its heading: what to see to before the
// first frame; how the flash's light lies over the picture; the light on all sides
// with its bands; one table for each way of working, with how the picture comes
// out, where it misses and what would fix it; all events of the day; how far to
// trust it. What the columns mean stands below each table.
//
// compare opens with the verdict and what the others come to, why where it is asked
// for; then each of the few moments: its light, which way of working to take, and a
// table of all of them; then the table of what they cost over the window (minutes
// held and missed, frames, batteries, rests, recycling). Wind and scrim follow only
// where a scrim is carried. With a thing that varies, there is one table, a row for
// each of its values.
//
// explain opens with the result: the settings and what they make of the
// picture. Then the steps, numbered, each its title and value, the formula, the
// same with numbers, the source.
//
// cues opens with where the flash stands; then one line each: time, what moves and
// to where, what the flash meter reads. Why is asked for. Where cues come closer
// than a photographer can follow, one line gives the rule (from 19:20 one click of
// ISO every 3 minutes).
//
// adjust opens with what readings change and how to go on; then the readings, the
// settings now and at the end against the plan's, the cues from now on, and the
// rest of the timeline's table.
package report
