package bin

import (
	"slices"
	"strings"

	"cagewise/gearing/build"
)

// Tables of a bin.
const (
	ringsTable    = "rings"
	cassetteTable = "cassette"
	rearTable     = "rear_derailleur"
	chainTable    = "chain"
	extenderTable = "extender"
	wheelTable    = "wheel"
)

// geometryKey is the table under a rear derailleur.
const geometryKey = "geometry"

// tableNames lists the kinds of tables in the order in which they are written;
// a search needs the first three.
func tableNames() []string {
	return []string{ringsTable, cassetteTable, rearTable, chainTable, extenderTable, wheelTable}
}

const neededKinds = 3

// kind is one kind of table.
type kind struct {
	table  string
	fields map[string]*build.Field // by the key in the bin
	order  []string                // keys of fields in the order of the build file
	count  int                     // tables read so far
	inline bool                    // given as a list at the top
}

// kinds makes the tables from the fields of the build file.
func kinds() map[string]*kind {
	all := map[string]*kind{}
	for _, table := range tableNames() {
		all[table] = &kind{table: table, fields: map[string]*build.Field{}}
	}
	for _, f := range build.Fields() {
		if table, key := placeOf(f); table != "" {
			k := all[table]
			k.fields[key] = f
			k.order = append(k.order, key)
		}
	}
	return all
}

// placeOf says under which key of which table a field of the build file stands
// in a bin; "" for nowhere. A rear derailleur has no extender of its own:
// extenders are parts.
func placeOf(f *build.Field) (table, key string) {
	switch f.Path() {
	case "rings.teeth":
		return ringsTable, f.Key
	case "cogs.teeth":
		return cassetteTable, f.Key
	case "chain.pitches":
		return chainTable, f.Key
	case "rear_derailleur.geometry.extender_behind", "rear_derailleur.geometry.extender_below":
		return extenderTable, strings.TrimPrefix(f.Key, "extender_")
	}
	switch f.Section {
	case "wheel":
		return wheelTable, f.Key
	case "rear_derailleur":
		return rearTable, f.Key
	case "rear_derailleur.geometry":
		return rearTable, geometryKey + "." + f.Key
	}
	return "", ""
}

// Keys that every part has.
const (
	nameKey      = "name"
	noteKey      = "note"
	priceKey     = "price"
	onHandKey    = "on_hand"
	availableKey = "available"
	sameKey      = "same_as"
	moneyKey     = "money"
)

// MaxPrice is the highest price that is read, money units.
const MaxPrice = 1e6

func text(key string) *build.Field { return &build.Field{Key: key, Kind: build.Text} }

func onOff(key string) *build.Field { return &build.Field{Key: key, Kind: build.Switch} }

func price() *build.Field {
	return &build.Field{Key: priceKey, Kind: build.Number, Low: 0, High: MaxPrice, Unit: "money units"}
}

// topKeys lists the keys at the top of a bin.
func topKeys() []string { return []string{nameKey, noteKey, moneyKey} }

// common is the field of a key that every part has, or every rear derailleur;
// nil for any other.
func common(key string) *build.Field {
	switch key {
	case nameKey, noteKey, sameKey:
		return text(key)
	case priceKey:
		return price()
	case onHandKey, availableKey:
		return onOff(key)
	}
	return nil
}

// keys lists what a table may hold, at the level of prefix: "" or "geometry.".
func (k *kind) keys(prefix string) []string {
	var list []string
	if prefix == "" {
		list = []string{nameKey, noteKey, priceKey, onHandKey, availableKey}
		if k.table == rearTable {
			list = append(list, sameKey, geometryKey)
		}
	}
	for _, key := range k.order {
		short, ok := strings.CutPrefix(key, prefix)
		if ok && !strings.Contains(short, ".") {
			list = append(list, short)
		}
	}
	return list
}

// unknown is the message about a key that the table does not have.
func (k *kind) unknown(prefix, key string) string {
	allowed := k.keys(prefix)
	hint := "unknown key"
	if near := build.Nearest(key, allowed); near != "" {
		hint += "; did you mean " + near + "?"
	} else if elsewhere := k.elsewhere(key); elsewhere != "" {
		hint += "; " + elsewhere
	}
	return hint + "; allowed: " + strings.Join(allowed, ", ")
}

// elsewhere says where a key belongs that stands at the wrong level.
func (k *kind) elsewhere(key string) string {
	switch {
	case k.table == rearTable && strings.HasPrefix(key, "extender_"):
		return "extenders are parts of their own: write an [[" + extenderTable + "]]"
	case k.fields[geometryKey+"."+key] != nil:
		return "it stands under [" + rearTable + "." + geometryKey + "]"
	case slices.Contains(k.keys(""), key):
		return "it stands under [[" + k.table + "]]"
	}
	return ""
}
