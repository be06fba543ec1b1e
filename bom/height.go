package bom

import (
	"strconv"
	"strings"
)

// PackageHeight is how far a part in a package stands off its board, in mm: what
// the name itself says, as land patterns by IPC-7351 and many names in libraries
// do, else what is usual for the family; not known where neither tells.
func PackageHeight(text string) Measure {
	if text == "" || len(text) > valueBytes {
		return Measure{}
	}
	_, name := splitLibrary(foldName(text))
	r := nameReading{name: name, tokens: nameTokens(name)}
	r.scan()
	if mm, ok := r.saidHeight(); ok {
		return Known(mm)
	}
	for _, key := range ReadPackage(text).Keys() {
		if mm, ok := usualHeights[key]; ok {
			return Known(mm)
		}
		if strings.HasPrefix(key, "LED D") {
			return Known(usualHeights["LED"])
		}
	}
	return Measure{}
}

// saidHeight finds the height in a name: of a land pattern the last of its sizes, or
// that after H, in hundredths of a millimetre (IPC-7351B, table 3-15 and on; for leads
// in holes IPC-7251, from memory); else a number between H and mm.
func (r *nameReading) saidHeight() (mm float64, ok bool) {
	t, land := r.tokens, r.hit[roleLand]
	from := 0
	if land.word != nil {
		from = land.at + 2
	}
	for i := from; i+1 < len(t); i++ {
		high := t[i].text == "H" && (land.word != nil || t[i].sep != 0 && wordAt(t, i+2) == "MM")
		last := land.word != nil && t[i].text == "X"
		if !(high || last) || !t[i+1].number || t[i+1].sep != 0 {
			continue
		}
		v, err := strconv.ParseFloat(t[i+1].text, 64)
		if land.word != nil {
			v /= 100
		}
		if ok = err == nil && v > 0 && v <= tallestPart; ok {
			mm = v
		}
		if high {
			return mm, ok
		}
	}
	return mm, ok
}

// tallestPart is the height in mm beyond which a number is none.
const tallestPart = 100

// heightRows are the usual heights of families above the board, in mm, fitted
// upright where they have leads: common practice, no source, but for dual in-line
// packages (JEDEC MS-001: 5.33 mm at most) and the surface-mounted outlines of
// JEDEC (MS-012 1.75, MS-013 2.65, MO-153 1.2, TO-236 1.12 mm), from memory.
const heightRows = `
1.1 SOT-23 SOT-23-5 SOT-23-6 SC-70 SC-70-5 SC-70-6 SOD-123 SOD-323
1.2 TSSOP MSOP TSOP VSSOP
1.75 SOIC SSOP QSOP SOT-223 SOT-89
0.9 QFN DFN SON VQFN WQFN
1.6 LQFP QFP MELF MINIMELF
1.2 TQFP
2.4 SMA SMB SMC TO-252
4.5 TO-263
2 DO-35 DO-7
3 AXIAL DO-41 DO-15 TEST_LOOP
5 DIP SDIP SPDIP SKDIP DIP_SWITCH TACTILE_SWITCH CRYSTAL OSCILLATOR HC-49S HC-49US
5.5 DO-27 DO-201AD DO-201AE
8 DISC_CAPACITOR RESONATOR ROUND_CRYSTAL PUSH_BUTTON SPST_SWITCH SPDT_SWITCH DPST_SWITCH DPDT_SWITCH
9 PIN_HEADER PIN_SOCKET BOX_HEADER SIP ZIP LED TO-92 TO-18 TO-39 TO-5 TRIMMER CONNECTOR
3.2 USB-C USB_MICRO_B USB_MINI_B FFC_CONNECTOR
7 USB-A
11 USB-B RADIAL ELECTROLYTIC BOX_CAPACITOR BUZZER BARREL_JACK
12 TERMINAL_BLOCK AUDIO_JACK FUSE_HOLDER D-SUB
13.5 HC-49 HC-18 RJ-45
15 RELAY BATTERY_HOLDER TO-126 TO-251 TO-262 POTENTIOMETER
20 TO-220 TO-218 TO-3P ROTARY_ENCODER
25 TO-247 TO-264 TRANSFORMER MODULE
`

// usualHeights are heightRows by the key of the family.
var usualHeights = func() map[string]float64 {
	heights := map[string]float64{}
	for _, row := range strings.Split(strings.TrimSpace(heightRows), "\n") {
		words := strings.Fields(row)
		mm, err := strconv.ParseFloat(words[0], 64)
		if err != nil {
			panic(err) // the rows are constants
		}
		for _, family := range words[1:] {
			heights[strings.ReplaceAll(family, "_", " ")] = mm
		}
	}
	return heights
}()
