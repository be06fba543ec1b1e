package bom

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// packageCase is a name and what it tells. Joints 0: the name does not tell.
type packageCase struct {
	name, family string
	mount        Mount
	joints       int
}

// packageCases are names by the standard or custom that tells what they mean.
// Names of libraries are invented.
var packageCases = []struct {
	source string
	cases  []packageCase
}{
	{"chip codes, inch and metric (IEC 60115-8, EIA; as in TestChipSizePairs): two terminals", []packageCase{
		{"0402", "0402", SMT, 2},
		{"0603", "0603", SMT, 2},
		{"603", "0603", SMT, 2}, // a spreadsheet took the 0 away
		{"SM0805", "0805", SMT, 2},
		{"1005M", "0402", SMT, 2},
		{"2012M", "0805", SMT, 2},
		{"R_0603", "0603", SMT, 2},
		{"R0603", "0603", SMT, 2},
		{"C0805K", "0805", SMT, 2},
		{"M0805", "0805", SMT, 2},
		{"SMD0805", "0805", SMT, 2},
		{"SMD-1206", "1206", SMT, 2},
		{"LED-0603", "0603", SMT, 2},
		{"0603-LED", "0603", SMT, 2},
		{"LED 1206 red", "1206", SMT, 2},
		{"FB_0603", "0603", SMT, 2},
		{"FUSE_1206", "1206", SMT, 2},
		{"Varistor_0603", "0603", SMT, 2},
		{"D_0805", "0805", SMT, 2},
		{"1206 (3216 Metric)", "1206", SMT, 2},
		{"0603/1608M", "0603", SMT, 2},
		{"100nF 0603 50V", "0603", SMT, 2}, // units and dielectrics in a description
		{"4.7 \u00b5F 1206 X5R", "1206", SMT, 2},
		{"10k\u2126 0805 1%", "0805", SMT, 2},
		{"CAP CER 22PF 50V C0G/NP0 0402", "0402", SMT, 2},
		{"resistor 1206 ohm 0805", "0805", SMT, 2},
		{"resistor 1206 ohm", "", MountNone, 0},
		{"Kondensator 10nF 0805", "0805", SMT, 2},
		{"R_0805_2012Metric", "0805", SMT, 2},
		{"R_2512_6332Metric", "2512", SMT, 2},
		{"R_2512_6432Metric", "2512", SMT, 2},
		{"L_1210_3225Metric", "1210", SMT, 2},
		{"R_0201_0603Metric", "0201", SMT, 2},
		{"R_0402_1005Metric_Pad0.72x0.64mm_HandSolder", "0402", SMT, 2},
		{"C_0603_1608Metric_Castellated", "0603", SMT, 2},
		{"shelf_smd:LED_0805_2012Metric", "0805", SMT, 2},
		{"OwnShelf:R_0603_1608", "0603", SMT, 2},
		{"OwnShelf/C_0805", "0805", SMT, 2},
		{"our_resistors:0603_Q7", "0603", SMT, 2},
		{"R0402-ROUND", "0402", SMT, 2},
		{"0805_HANDSOLDER", "0805", SMT, 2},
		{"C_1812_4532Metric", "1812", SMT, 2},
	}},
	{"several chips in one package, two terminals each (EIA array sizes, from memory)", []packageCase{
		{"R_Array_Convex_4x0603", "4x0603", SMT, 8},
		{"RN 4x0603", "4x0603", SMT, 8},
		{"4x0402", "4x0402", SMT, 8},
		{"0603x4", "4x0603", SMT, 8},
		{"R_Array_Concave_2x0603", "2x0603", SMT, 4},
		{"0603 array", "0603 array", SMT, 0},
	}},
	{"IPC-7351B naming convention: chips are length and width in 0.1 mm", []packageCase{
		{"RESC2012X50N", "0805", SMT, 2},
		{"RESC2013X70N", "0805", SMT, 2},
		{"RESC1106X40N", "0402", SMT, 2},
		{"CAPC1608X90N", "0603", SMT, 2},
		{"INDC3225X150N", "1210", SMT, 2},
		{"LEDC1608X75L", "0603", SMT, 2},
		{"DIOC1005X50M", "0402", SMT, 2},
		{"RESC0603X30N", "0201", SMT, 2},
		{"CAPC9999X100N", "chip", SMT, 2},
		{"our-lands:CAPC1608X90N", "0603", SMT, 2},
	}},
	{"an inch code with its metric one beside it (common practice, no source)", []packageCase{
		{"RESC0402(1005)60_M", "0402", SMT, 2},
	}},
	{"IPC-7351B naming convention: the number of pins stands at the end, of a grid after BGA", []packageCase{
		{"SOIC127P600X175-8N", "SOIC-8", SMT, 8},
		{"SOIC127P1030X265-16N", "SOIC-16W", SMT, 16},
		{"SOP65P640X120-16N", "TSSOP-16", SMT, 16},
		{"SOP65P780X200-20N", "SSOP-20", SMT, 20},
		{"SOP50P490X110-10N", "MSOP-10", SMT, 10},
		{"SOP127P700X200-4M", "SOP-4", SMT, 4},
		{"QFP50P900X900X160-48N", "QFP-48", SMT, 48},
		{"QFP80P900X900X120-32L", "QFP-32", SMT, 32},
		{"QFN50P400X400X80-21N", "QFN-20", SMT, 21}, // the pad for heat is counted
		{"QFN50P300X300X80-16N", "QFN-16", SMT, 16},
		{"SON50P300X300X80-11N", "SON-10", SMT, 11},
		{"BGA121C50P11X11", "BGA-121", SMT, 121},
		{"BGA121C50P11X11_600X600X100N", "BGA-121", SMT, 121},
		{"BGA64N80P8X8_800X800X120", "BGA-64", SMT, 64},
		{"PLCC127P1753X1753X457-44N", "PLCC-44", SMT, 44},
		{"SOT95P237X112-3N", "SOT-23", SMT, 3},
		{"SOT95P280X145-5N", "SOT-23-5", SMT, 5},
		{"SOT95P280X145-6N", "SOT-23-6", SMT, 6},
		{"SOT65P210X110-6N", "SC-70-6", SMT, 6},
		{"SOT230P700X180-4N", "SOT-223", SMT, 4},
		{"TO228P972X240-3N", "TO-252", SMT, 3},
		{"OSCCC500X320X130-4N", "oscillator-4", SMT, 4},
		{"RESCAV127P320X160X60-8N", "RESCAV127P320X160X60-8", SMT, 8},
		{"OWN-QFN50P400X400X80-21N", "QFN-20", SMT, 21},
	}},
	{"IPC-7351B naming convention: two terminals that the name does not count", []packageCase{
		{"DIOM5226X230N", "molded", SMT, 2},
		{"CAPMP3528X210N", "molded", SMT, 2},
		{"RESM6332X200N", "molded", SMT, 2},
		{"DIOMELF3516N", "MELF", SMT, 2},
		{"RESMELF3516N", "MELF", SMT, 2},
		{"CAPAE660X550N", "electrolytic", SMT, 2},
		{"SOD3716X135N", "SOD-123", SMT, 2},
		{"SOD2512X110N", "SOD-323", SMT, 2},
		{"XTAL1140X470X380N", "crystal", SMT, 2},
	}},
	{"IPC-7251 naming convention for leads in holes (from memory)", []packageCase{
		{"RESAD1016W50L630D240B", "axial", THT, 2},
		{"DIOAD1016W60L500D270A", "axial", THT, 2},
		{"CAPPRD250W50D500H1100B", "radial", THT, 2},
		{"CAPRR500W60L700T250H650B", "radial", THT, 2},
		{"DIP762W46P254L1016H508Q8B", "DIP-8", THT, 8},
		{"HDRV6W64P254_1X6_1524X254X889B", "pin header 1x06", THT, 6},
		{"HDRV10W64P254_2X5_1270X508X889B", "pin header 2x05", THT, 10},
	}},
	{"JEDEC TO-236 (SOT-23), MO-178 (-5, -6), MO-193 (thin), TO-253 (SOT-143), IEC 60191 numbers", []packageCase{
		{"SOT-23", "SOT-23", SMT, 3},
		{"SOT23", "SOT-23", SMT, 3},
		{"sot 23", "SOT-23", SMT, 3},
		{"SOT-23-3", "SOT-23", SMT, 3},
		{"SOT-23-5", "SOT-23-5", SMT, 5},
		{"SOT23-5", "SOT-23-5", SMT, 5},
		{"SOT-23-5L", "SOT-23-5", SMT, 5},
		{"SOT235", "SOT-23-5", SMT, 5},
		{"SOT-25", "SOT-25", SMT, 5},
		{"SOT-753", "SOT-753", SMT, 5},
		{"our_shelf:SOT-23-6", "SOT-23-6", SMT, 6},
		{"SOT-26", "SOT-26", SMT, 6},
		{"SOT-23-8", "SOT-23-8", SMT, 8},
		{"TSOT-23-5", "TSOT-23-5", SMT, 5},
		{"TSOT23-6", "TSOT-23-6", SMT, 6},
		{"SOT-143", "SOT-143", SMT, 4},
		{"TO-236AB", "TO-236AB", SMT, 3},
		{"SOT-23_HandSoldering", "SOT-23", SMT, 3},
	}},
	{"JEITA ED-7500 SC-70, SC-88, SC-88A; JEDEC MO-203; IEC 60191 SOT-323, -353, -363", []packageCase{
		{"SC-70", "SC-70", SMT, 3},
		{"SC-70-5", "SC-70-5", SMT, 5},
		{"SC70-6", "SC-70-6", SMT, 6},
		{"SOT-323", "SOT-323", SMT, 3},
		{"SOT-353", "SOT-353", SMT, 5},
		{"SOT-363", "SOT-363", SMT, 6},
		{"6-TSSOP, SC-88, SOT-363", "SC-88", SMT, 6},
		{"SOT-563", "SOT-563", SMT, 6},
		{"SOT-523", "SOT-523", SMT, 3},
		{"SC-59", "SC-59", SMT, 3},
		{"SC-75", "SC-75", SMT, 3},
		{"SC-74", "SC-74", SMT, 6},
	}},
	{"JEDEC TO-261 (SOT-223), TO-243 (SOT-89): SOT-223 is three leads and a tab", []packageCase{
		{"SOT-223", "SOT-223", SMT, 4},
		{"SOT223", "SOT-223", SMT, 4},
		{"SOT-223-3_TabPin2", "SOT-223", SMT, 4},
		{"SOT-223-4", "SOT-223", SMT, 4},
		{"TO-261AA", "TO-261AA", SMT, 4},
		{"SOT-89", "SOT-89", SMT, 3},
		{"SOT-89-3", "SOT-89", SMT, 3},
	}},
	{"JEDEC TO-252, TO-263, TO-268: two leads or more, and the tab", []packageCase{
		{"TO-252", "TO-252", SMT, 3},
		{"DPAK", "TO-252", SMT, 3},
		{"TO-252-2", "TO-252", SMT, 3},
		{"TO-252-3, DPak (2 Leads + Tab), SC-63", "TO-252", SMT, 3},
		{"TO-252-3_TabPin2", "TO-252-3 tab", SMT, 4},
		{"TO-263", "TO-263", SMT, 3},
		{"D2PAK", "TO-263", SMT, 3},
		{"D²PAK", "TO-263", SMT, 3},
		{"DDPAK", "TO-263", SMT, 3},
		{"TO-263-5", "TO-263-5", SMT, 6},
		{"TO-263-6, D2Pak (5 Leads + Tab)", "TO-263-5", SMT, 6},
		{"D2PAK-7", "TO-263-7", SMT, 8},
		{"TO-268", "TO-268", SMT, 3},
	}},
	{"IEC 60191 SOD numbers, JEDEC DO-213 (MELF), DO-214 (SMA, SMB, SMC), DO-219 (SMF)", []packageCase{
		{"SOD-123", "SOD-123", SMT, 2},
		{"D_SOD-123", "SOD-123", SMT, 2},
		{"SOD-123F", "SOD-123F", SMT, 2},
		{"SOD-323", "SOD-323", SMT, 2},
		{"SOD323", "SOD-323", SMT, 2},
		{"SOD-523", "SOD-523", SMT, 2},
		{"SOD-882", "SOD-882", SMT, 2},
		{"SOD-80", "SOD-80", SMT, 2},
		{"MiniMELF", "MiniMELF", SMT, 2},
		{"Mini-MELF", "MiniMELF", SMT, 2},
		{"LL-34", "LL-34", SMT, 2},
		{"MELF", "MELF", SMT, 2},
		{"SMA", "SMA", SMT, 2},
		{"D_SMB", "SMB", SMT, 2},
		{"SMC", "SMC", SMT, 2},
		{"DO-214AC", "DO-214AC", SMT, 2},
		{"DO-214AA (SMB)", "DO-214AA", SMT, 2},
		{"DO-214AB", "DO-214AB", SMT, 2},
	}},
	{"SMA is a coaxial connector as well (IEC 61169-15); its mount is not in the name", []packageCase{
		{"SMA coaxial, edge", "coaxial connector SMA", MountNone, 0},
		{"SMA_Female_Vertical", "coaxial connector SMA", MountNone, 0},
		{"own_coax_connectors:SMA_90", "coaxial connector SMA", MountNone, 0},
		{"SMB connector THT", "coaxial connector SMB", THT, 0},
	}},
	{"JEDEC DO-204 (DO-35, DO-41), DO-201; leads in holes", []packageCase{
		{"DO-35", "DO-35", THT, 2},
		{"DO-41", "DO-41", THT, 2},
		{"D_DO-41_P10.16mm_Horizontal", "DO-41", THT, 2},
		{"DO-204AL", "DO-204AL", THT, 2},
		{"DO-201AD", "DO-201AD", THT, 2},
		{"DO-15", "DO-15", THT, 2},
	}},
	{"JEDEC TO-226 (TO-92), TO-220, TO-247, TO-206 (TO-18), TO-251, TO-3P", []packageCase{
		{"TO-92", "TO-92", THT, 3},
		{"TO92", "TO-92", THT, 3},
		{"TO-92_Inline", "TO-92", THT, 3},
		{"TO-92-2", "TO-92-2", THT, 2},
		{"TO-92L", "TO-92L", THT, 3},
		{"TO-220", "TO-220", THT, 3},
		{"TO-220AB", "TO-220", THT, 3},
		{"TO-220-3_Vertical", "TO-220", THT, 3},
		{"TO-220-3_Horizontal_TabDown", "TO-220", THT, 3},
		{"TO-220-5", "TO-220-5", THT, 5},
		{"TO-220F", "TO-220F", THT, 3},
		{"TO-247-3", "TO-247", THT, 3},
		{"TO-247-4", "TO-247-4", THT, 4},
		{"TO-18", "TO-18", THT, 3},
		{"TO-126", "TO-126", THT, 3},
		{"IPAK", "TO-251", THT, 3},
		{"TO-3P", "TO-3P", THT, 3},
		{"TO-99", "TO-99", THT, 8},
	}},
	{"JEDEC MS-012 and MS-013 (SOIC), MO-150 (SSOP), MO-153 (TSSOP), MO-187 (MSOP): the name counts the leads", []packageCase{
		{"SOIC-8", "SOIC-8", SMT, 8},
		{"SO8", "SOIC-8", SMT, 8},
		{"SO-14", "SOIC-14", SMT, 14},
		{"8-SOIC", "SOIC-8", SMT, 8},
		{"8-SOIC (0.154\", 3.90mm Width)", "SOIC-8", SMT, 8},
		{"SOIC-8_3.9x4.9mm_P1.27mm", "SOIC-8", SMT, 8},
		{"SOIC-16W_7.5x10.3mm_P1.27mm", "SOIC-16W", SMT, 16},
		{"SOIC-16_7.5x10.3mm_P1.27mm", "SOIC-16W", SMT, 16},
		{"SO-16W", "SOIC-16W", SMT, 16},
		{"SOP-8", "SOP-8", SMT, 8},
		{"SSOP-20", "SSOP-20", SMT, 20},
		{"SSOP20", "SSOP-20", SMT, 20},
		{"TSSOP-16", "TSSOP-16", SMT, 16},
		{"TSSOP-16_4.4x5mm_P0.65mm", "TSSOP-16", SMT, 16},
		{"16-TSSOP", "TSSOP-16", SMT, 16},
		{"MSOP-10", "MSOP-10", SMT, 10},
		{"VSSOP-8", "VSSOP-8", SMT, 8},
		{"QSOP-16", "QSOP-16", SMT, 16},
		{"own_shelf/SOIC-14_3.9x8.7mm", "SOIC-14", SMT, 14},
	}},
	{"a pad for heat is a joint more: EP in the name, H before it (JEDEC JESD30, from memory)", []packageCase{
		{"SOIC-8-1EP_3.9x4.9mm_P1.27mm_EP2.29x3mm", "SOIC-8", SMT, 9},
		{"SOIC-8EP", "SOIC-8", SMT, 9},
		{"TSSOP-16-1EP", "TSSOP-16", SMT, 17},
		{"HTSSOP-16", "HTSSOP-16", SMT, 17},
		{"HTSSOP-16-1EP_4.4x5mm_P0.65mm", "HTSSOP-16", SMT, 17},
		{"QFN-16-1EP_3x3mm_P0.5mm_EP1.7x1.7mm", "QFN-16", SMT, 17},
		{"DFN-8-1EP_3x2mm_P0.5mm_EP1.66x1.36mm", "DFN-8", SMT, 9},
		{"LQFP-64-1EP_10x10mm_P0.5mm", "LQFP-64", SMT, 65},
		{"QFN-32 exposed pad", "QFN-32", SMT, 33},
		{"SOT-23-5-1EP", "SOT-23-5", SMT, 6},
	}},
	{"JEDEC MS-026 (LQFP, TQFP), MO-220 (QFN), MO-229 (DFN), MS-018 (PLCC), MO-192 (BGA)", []packageCase{
		{"QFN-16", "QFN-16", SMT, 16},
		{"QFN16", "QFN-16", SMT, 16},
		{"32-QFN", "QFN-32", SMT, 32},
		{"QFN 5x5 32-pin", "QFN-32", SMT, 32},
		{"VQFN-24", "VQFN-24", SMT, 24},
		{"DFN-6", "DFN-6", SMT, 6},
		{"WSON-8_6x5", "WSON-8", SMT, 8},
		{"TQFP-32", "TQFP-32", SMT, 32},
		{"TQFP32", "TQFP-32", SMT, 32},
		{"LQFP-48_7x7mm_P0.5mm", "LQFP-48", SMT, 48},
		{"48-LQFP (7x7)", "LQFP-48", SMT, 48},
		{"LQFP100", "LQFP-100", SMT, 100},
		{"LQFP-144", "LQFP-144", SMT, 144},
		{"PLCC-44", "PLCC-44", SMT, 44},
		{"LED_PLCC4", "PLCC-4", SMT, 4},
		{"LED_PLCC-2", "PLCC-2", SMT, 2},
		{"BGA-256", "BGA-256", SMT, 256},
		{"BGA-256_17x17mm_Layout16x16_P1.0mm", "BGA-256", SMT, 256},
		{"WLCSP-12", "WLCSP-12", SMT, 12},
		{"LGA-16_3x3mm", "LGA-16", SMT, 16},
		{"QFN", "QFN", SMT, 0},
	}},
	{"JEDEC MS-001, MS-011 (DIP); single in-line", []packageCase{
		{"DIP-8", "DIP-8", THT, 8},
		{"DIP8", "DIP-8", THT, 8},
		{"PDIP-8", "DIP-8", THT, 8},
		{"DIL-14", "DIP-14", THT, 14},
		{"DIP-8_W7.62mm", "DIP-8", THT, 8},
		{"DIP-28_W15.24mm", "DIP-28", THT, 28},
		{"DIP-8_W7.62mm_Socket", "DIP-8", THT, 8},
		{"DIP-4_SMD", "DIP-4", SMT, 4},
		{"SIP-9", "SIP-9", THT, 9},
		{"SIP9", "SIP-9", THT, 9},
		{"R_Array_SIP9", "SIP-9", THT, 9},
		{"SW_DIP_SPSTx04_Slide", "DIP switch 4", THT, 8},
	}},
	{"leads in holes, two (common practice, no source)", []packageCase{
		{"axial", "axial", THT, 2},
		{"R_Axial_DIN0207_L6.3mm_D2.5mm_P10.16mm_Horizontal", "axial", THT, 2},
		{"AXIAL-0.4", "axial", THT, 2},
		{"radial", "radial", THT, 2},
		{"CP_Radial_D5.0mm_P2.00mm", "radial", THT, 2},
		{"C_Disc_D5.0mm_W2.5mm_P5.00mm", "disc capacitor", THT, 2},
		{"C_Rect_L7.0mm_W2.5mm_P5.00mm", "box capacitor", THT, 2},
		{"LED_D5.0mm", "LED D5", THT, 2},
		{"LED 3mm", "LED D3", THT, 2},
		{"5mm LED", "LED D5", THT, 2},
		{"RGB LED, 5 mm", "LED D5-4", THT, 4}, // common practice, no source
		{"LED_D5.0mm-4", "LED D5-4", THT, 4},
		{"CP_Elec_5x5.4", "electrolytic", MountNone, 2}, // with leads or for the surface
		{"own_smd:CP_Elec_5x5.4", "electrolytic", SMT, 2},
	}},
	{"molded tantalum capacitors (EIA-535BAAC, from memory)", []packageCase{
		{"EIA-3216-18", "EIA 3216-18", SMT, 2},
		{"CP_Tantalum_Case-A_EIA-3216-18", "EIA 3216-18", SMT, 2},
		{"Tantalum Case B", "EIA 3528-21", SMT, 2},
		{"7343-31", "EIA 7343-31", SMT, 2},
	}},
	{"crystals: HC-49 holders (IEC 60122-3), bodies by their size in 0.1 mm", []packageCase{
		{"HC-49", "HC-49", THT, 2},
		{"HC49-U", "HC-49", THT, 2},
		{"HC-49/US", "HC-49US", THT, 2},
		{"HC49-4H_Vertical", "HC-49", THT, 2},
		{"HC49-SMD", "HC-49", SMT, 2},
		{"HC-49SM", "HC-49SM", SMT, 2},
		{"Crystal_SMD_3225-4Pin_3.2x2.5mm", "crystal 3225-4", SMT, 4},
		{"Crystal_3215-2", "crystal 3215-2", SMT, 2},
		{"crystal 5032-2pin", "crystal 5032-2", SMT, 2},
		{"Oscillator_SMD_7050-4Pin", "oscillator 7050-4", SMT, 4},
		{"Crystal_Round_D2.0mm_Vertical", "round crystal", THT, 2},
		{"SMD3225-4P", "3225-4P", SMT, 4},
		{"LED_RGB_5050-6", "5050-6P", SMT, 6},
	}},
	{"connectors by rows and columns (common practice, no source)", []packageCase{
		{"pin header 1x06", "pin header 1x06", THT, 6},
		{"PinHeader_1x06_P2.54mm_Vertical", "pin header 1x06", THT, 6},
		{"PINHEADER-1X6", "pin header 1x06", THT, 6},
		{"HDR-1X4", "pin header 1x04", THT, 4},
		{"Header 6", "pin header 1x06", THT, 6},
		{"PinHeader_2x05_P1.27mm_Vertical_SMD", "pin header 2x05", SMT, 10},
		{"our_pin_headers:1x06", "pin header 1x06", THT, 6},
		{"PinSocket_1x06_P2.54mm", "pin socket 1x06", THT, 6},
		{"PinHeader_1x04_Female", "pin socket 1x04", THT, 4},
		{"Female header 1×08", "pin socket 1x08", THT, 8},
		{"Socket_1x04", "pin socket 1x04", THT, 4},
		{"Box header 2x05", "box header 2x05", THT, 10},
		{"IDC-Header_2x05_P2.54mm_Vertical", "box header 2x05", THT, 10},
		{"IDC-10", "box header 2x05", THT, 10},
		{"Screw terminal 1x02", "terminal block 1x02", THT, 2},
		{"TerminalBlock_QX-2_P5.08mm", "terminal block 1x02", THT, 2},
		{"TerminalBlock_1x03_P5.00mm_Horizontal", "terminal block 1x03", THT, 3},
		{"QX_Q4V_1x04_P2.50mm_Vertical", "connector 1x04", THT, 4},
		{"QX_QM04_1x04-1MP_P1.00mm_Horizontal", "connector 1x04", SMT, 4},
		{"Conn_1x04", "connector 1x04", THT, 4},
		{"Connector 04", "connector 1x04", THT, 4},
		{"connector 6-pin", "connector 1x06", THT, 6},
		{"FPC-10P", "FFC connector 1x10", SMT, 10},
		{"DSUB-9_Female", "D-SUB-9", THT, 9},
		{"RJ45", "RJ-45", THT, 8},
	}},
	{"USB 2.0 chapter 6 (4 contacts, 2 legs of the shell; 5 contacts of the small ones), from memory; Type-C has no one number", []packageCase{
		{"USB_A_Horizontal", "USB-A", THT, 6},
		{"USB-B", "USB-B", THT, 6},
		{"USB_Micro-B", "USB micro B", SMT, 5},
		{"Micro USB SMD", "USB micro B", SMT, 5},
		{"USB_Mini-B", "USB mini B", SMT, 5},
		{"USB-C 16 pin", "USB-C", SMT, 16},
		{"USB_C_Receptacle_16P", "USB-C", SMT, 16},
		{"USB Type-C", "USB-C", SMT, 0},
	}},
	{"families by a word (common practice, no source)", []packageCase{
		{"Barrel jack", "barrel jack", THT, 3},
		{"AudioJack_3.5mm", "audio jack", MountNone, 0},
		{"Trimmer", "trimmer", THT, 3},
		{"Potentiometer_Vertical", "potentiometer", THT, 3},
		{"Relay", "relay", THT, 0},
		{"BatteryHolder_1x2032", "battery holder", MountNone, 0},
		{"Battery holder SMD", "battery holder", SMT, 0},
		{"Tactile switch", "tactile switch", MountNone, 4},
		{"SW_PUSH_6mm", "tactile switch", MountNone, 4},
		{"Tact 6x6mm THT", "tactile switch", THT, 4},
		{"SW_PUSH_6x6_1206", "tactile switch", MountNone, 4},
		{"SW_SPDT", "SPDT switch", MountNone, 3},
		{"TestPoint_Loop", "test loop", THT, 1},
	}},
	{"words of the mount alone", []packageCase{
		{"SMT", "", SMT, 0},
		{"special SMD", "", SMT, 0},
		{"Odd thing, surface mount", "", SMT, 0},
		{"Odd thing (through-hole)", "", THT, 0},
		{"THRU HOLE", "", THT, 0},
		{"Odd_PTH", "", THT, 0},
		{"own_buttons_THT:QX-7", "", THT, 0},
		{"TH", "", THT, 0},
		{"SMD shell THT", "", MountNone, 0}, // both
	}},
	{"names that tell nothing, or two things", []packageCase{
		{"", "", MountNone, 0},
		{"QX-77", "", MountNone, 0},
		{"QXSMDQ", "", MountNone, 0},
		{"PATHTHING", "", MountNone, 0},
		{"TH1", "", MountNone, 0},
		{"CONN_2010", "", MountNone, 0},
		{"KNOB_0603", "", MountNone, 0},
		{"K_0603", "", MountNone, 0},
		{"QX_4x0603", "", MountNone, 0},
		{"Disc_40mm", "", MountNone, 0},
		{"REV 1206", "", MountNone, 0},
		{"06-03", "", MountNone, 0}, // may be a day
		{"own_resistors_tht:QX_0603", "", THT, 0},
		{"own_connectors:43-QX", "", MountNone, 0},
		{"0603/0805", "", MountNone, 0},
		{"10603", "", MountNone, 0},
		{"0603 THT", "", THT, 0},
		{"TO-2205", "TO-220-5", THT, 5},
		{"TO WHOM", "", MountNone, 0},
		{"SO", "", MountNone, 0},
		{"10.5x7", "", MountNone, 0},
	}},
}

func TestReadPackage(t *testing.T) {
	names := 0
	for _, group := range packageCases {
		for _, c := range group.cases {
			names++
			p := ReadPackage(c.name)
			if p.Family != c.family || p.Mount != c.mount || p.Joints != (Joints{c.joints, c.joints > 0}) || p.Nothing {
				t.Errorf("%s: %q gives %q %q %v nothing %v, want %q %q %d", group.source, c.name, p.Family, p.Mount, p.Joints, p.Nothing, c.family, c.mount, c.joints)
			}
			for _, key := range p.Keys() {
				if again := ReadPackage(key); again.Key != key {
					t.Errorf("%q: its key %q reads as %q", c.name, key, again.Key)
				}
			}
			if p.Family != "" && !slices.Contains(p.Keys(), ReadPackage(p.Family).Key) {
				t.Errorf("%q: the name that is shown, %q, is not among %q", c.name, p.Family, p.Keys())
			}
		}
	}
	if names < 200 {
		t.Errorf("only %d names", names)
	}
}

func TestPackageOfNothing(t *testing.T) {
	for _, name := range []string{"MountingHole_3.2mm_M3", "MountingHole_3.2mm_M3_Pad", "mounting hole", "TestPoint_Pad_D1.5mm", "TestPoint_THTPad_D1.5mm",
		"test point", "Fiducial_1mm_Mask2mm", "SolderJumper-2_P1.3mm_Open", "solder bridge", "NetTie-2_SMD_Pad0.5mm", "Logo", "MOUSE-BITES", "breakaway", "own_test_points:Pad_1mm"} {
		if p := ReadPackage(name); !p.Nothing || p.Mount != MountNone || p.Joints.Known {
			t.Errorf("%q gives %+v", name, p)
		}
	}
	// A through hole is none, and a loop to clip a probe to is bought.
	for _, name := range []string{"through hole", "through-hole diode", "TestPoint_Loop", "QX holes"} {
		if p := ReadPackage(name); p.Nothing != (name == "QX holes") {
			t.Errorf("%q gives %+v", name, p)
		}
	}
}

// TestShortPackage: a package by the least that still names it; what has no known name is only
// taken out of its library, and what is short already stays, or says which of many it is.
func TestShortPackage(t *testing.T) {
	for _, row := range [][2]string{
		{"shelf_smd:R_0805_2012Metric", "0805"}, {"SOIC-8_3.9x4.9mm_P1.27mm", "SOIC-8"}, {"SOIC-8_5.23x5.23mm_P1.27mm", "SOIC-8"},
		{"own:QFN-20-1EP_4x4mm_P0.5mm_EP2.5x2.5mm", "QFN-20 EP 4x4"}, {"CP_Radial_D5.0mm_P2.00mm", "radial D5 P2"},
		{"PinHeader_1x06_P2.54mm_Vertical", "pin header 1x06"}, {"HDR-1X4-2.54", "HDR-1X4-2.54"},
		{"own_shelf:QX_77_Long", "QX_77_Long"}, {"QX: 77", "QX: 77"}, {"", ""}, {"603", "0603"},
		{"own_shelf:SW_SPST_QX3342", "SW_SPST_QX3342"}, {"own:QX_B2_Header_1x02_P2.00mm_Vertical", "QX_B2_Header_1x02_P2.00mm_Vertical"},
		{"R_Axial_DIN0207_L6.3mm_D2.5mm_P10.16mm_Horizontal", "axial L6.3 D2.5"}, {"own:Potentiometer_3296", "Potentiometer_3296"}, {"LED_D3.0mm_Clear", "LED_D3.0mm_Clear"}, {"own:LED_D3.0mm", "LED D3"},
	} {
		if got := ShortPackage(row[0]); got != row[1] {
			t.Errorf("%q is %q, want %q", row[0], got, row[1])
		}
	}
}

// TestSamePackage: one key for all spellings of one package.
func TestSamePackage(t *testing.T) {
	groups := [][]string{
		{"0805", "R_0805_2012Metric", "2012M", "C0805", "shelf_smd:LED_0805_2012Metric", "RESC2012X50N", "0805 (2012 metric)", "2012", "０８０５"},
		{"0603", "own:C_0603_1608Metric", "CAPC1608X90N", "1608M"},
		{"0201", "0603M", "R_0201_0603Metric", "RESC0603X30N"},
		{"4x0603", "R_Array_Convex_4x0603", "RN_4X0603"},
		{"SOT-23", "SOT23", "sot 23", "S.O.T.23", "TO-236AB", "SOT-23-3", "SOT95P237X112-3N"},
		{"SOT-23-5", "SOT23-5", "SOT-25", "SOT235", "SC-74A", "own_shelf:SOT-23-5", "SOT95P280X145-5N"},
		{"SC-70-6", "SOT-363", "SC-88", "SOT363"},
		{"SMA", "DO-214AC", "D_SMA"},
		{"DO-41", "DO-204AL", "D_DO-41_P10.16mm_Horizontal"},
		{"TO-252", "DPAK", "SC-63", "TO-252-2"},
		{"TO-263-5", "D2PAK-5", "TO-263-6, D2Pak (5 Leads + Tab)"},
		{"TO-220", "TO-220AB", "TO220", "TO-220-3_Vertical"},
		{"SOIC-8", "SO8", "8-SOIC", "SOIC-8_3.9x4.9mm_P1.27mm", "SOIC127P600X175-8N"},
		{"QFN-20 EP 4x4", "QFN-20-1EP_4x4mm_P0.5mm_EP2.5x2.5mm", "QFN50P400X400X80-21N"},
		{"DIP-8", "PDIP-8", "DIL8", "DIP-8_W7.62mm", "DIP762W46P254L1016H508Q8B"},
		{"pin header 1x06", "PinHeader_1x06_P2.54mm_Vertical", "PINHEADER-1X6", "HDRV6W64P254_1X6_1524X254X889B"},
		{"CP_Radial_D5.0mm_P2.00mm", "radial D5.0 P2", "Radial_D5mm_P2mm"},
		{"QX-77", "qx77", "QX_77"},
	}
	owner := map[string]string{}
	for _, g := range groups {
		key := ReadPackage(g[0]).Key
		for _, name := range g {
			if got := ReadPackage(name).Key; got != key {
				t.Errorf("%q gives %q and %q gives %q", g[0], key, name, got)
			}
		}
		if first, taken := owner[key]; taken {
			t.Errorf("%q and %q have one key", first, g[0])
		}
		owner[key] = g[0]
	}
	for _, two := range [][2]string{
		{"CP_Radial_D5.0mm_P2.00mm", "CP_Radial_D10.0mm_P5.00mm"}, {"SOIC-16", "SOIC-16W"}, {"QFN-16_3x3mm", "QFN-16_4x4mm"},
		{"DIP-8", "DIP-8_SMD"}, {"DIP-28_W7.62mm", "DIP-28_W15.24mm"}, {"SOD-123", "SOD-123F"}, {"TO-220", "TO-220F"}, {"SOT-23", "SOT-23-5"},
		{"pin header 1x06", "pin socket 1x06"}, {"PinHeader_1x06", "PinHeader_1x06_Horizontal"}, {"0603", "0603M"}, {"0603", "4x0603"},
		{"TSSOP-16", "TSSOP-16-1EP"}, {"SMA", "coaxial SMA"}, {"HC-49", "HC-49S"}, {"tactile switch SMD", "tactile switch THT"},
	} {
		if a, b := ReadPackage(two[0]).Key, ReadPackage(two[1]).Key; a == b {
			t.Errorf("%q and %q have one key, %q", two[0], two[1], a)
		}
	}
}

func TestPackageKeys(t *testing.T) {
	for name, want := range map[string]string{
		"QFN-16-1EP_3x3mm_P0.5mm_EP1.7x1.7mm": "QFN-16 EP 3X3, QFN-16, QFN",
		"SOIC-8":                              "SOIC-8, SOIC",
		"SOT-23-5":                            "SOT-23-5", // SOT-23 is another package
		"R_0603":                              "0603",
		"PinHeader_2x05_P1.27mm_Vertical_SMD": "PIN HEADER 2X05 P1.27 SMT, PIN HEADER 2X05, PIN HEADER",
		"QX-77":                               "QX77",
	} {
		if got := strings.Join(ReadPackage(name).Keys(), ", "); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

func TestPackageTooLong(t *testing.T) {
	long := strings.Repeat("Q", valueBytes) + " SOT-23"
	if p := ReadPackage(long); p.Family != "" || p.Mount != MountNone || p.Key != PackageKey(long) {
		t.Errorf("%+v", p)
	}
}

func FuzzReadPackage(f *testing.F) {
	for _, group := range packageCases {
		for _, c := range group.cases {
			f.Add(c.name)
		}
	}
	for _, name := range []string{"a:b/c\\d", "BGA0C0P", "HDRV0W0", "HDRV9999W0", "BGA10000C0P0", "INDC7000A0P", "XO17P", "1x", "x1", "QFN-", "D2", "SOT95P280X145-", "HDRV6W", "Crystal_0", "LED_D", "4x0603x4", "µ×²ſŉ", "\xff0603"} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if len(name) > 1<<10 {
			return
		}
		p := ReadPackage(name)
		if p != ReadPackage(name) {
			t.Fatalf("%q reads in two ways", name)
		}
		if p.Joints.Known != (p.Joints.Count > 0) || p.Joints.Count < 0 || p.Joints.Count > 2*mostPins {
			t.Fatalf("%q: %v", name, p.Joints)
		}
		if p.Nothing && (p.Mount != MountNone || p.Joints.Known) {
			t.Fatalf("%q: nothing, and %+v", name, p)
		}
		if len(p.Key) > 3*len(name)+40 || len(p.Family) > 3*len(name)+40 {
			t.Fatalf("%q: too long: %+v", name, p)
		}
		if !utf8.ValidString(name) {
			return
		}
		if again := ReadPackage(p.Key); again.Key != p.Key {
			t.Fatalf("%q: its key %q reads as %q", name, p.Key, again.Key)
		}
		metric, inch, _, ok := ChipSize(name)
		if ok != (inch != "") || ok && (p.Family != inch || p.Joints.Count != 2 || chipInch[inch]+"M" != metric) {
			t.Fatalf("%q: chip %s %s, package %+v", name, metric, inch, p)
		}
	})
}

func BenchmarkReadPackage(b *testing.B) {
	for _, name := range []string{"0603", "R_0603_1608Metric", "SOIC-8_3.9x4.9mm_P1.27mm", "own_shelf:QFN-16-1EP_3x3mm_P0.5mm_EP1.7x1.7mm", "PinHeader_1x06_P2.54mm_Vertical", "QX thing of some sort"} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				ReadPackage(name)
			}
		})
	}
}
