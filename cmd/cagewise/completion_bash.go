package main

import (
	"fmt"
	"strings"
)

// bashFrame is what does not depend on the command line. The three functions
// above it print one candidate a line; _cagewise_values returns 1 for a flag
// without a value of its own, 2 for one that takes a file, 0 otherwise. bash
// breaks words at "=", so that --format=json comes in three pieces.
const bashFrame = `
_cagewise() {
  local cur=${COMP_WORDS[COMP_CWORD]} flag="" candidates="" files="" IFS=$'\n'
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "$(_cagewise_commands)" -- "$cur"))
    return
  fi
  local command=${COMP_WORDS[1]}
  if [ "$cur" = "=" ]; then
    flag=${COMP_WORDS[COMP_CWORD-1]} cur=""
  elif [ "${COMP_WORDS[COMP_CWORD-1]}" = "=" ]; then
    flag=${COMP_WORDS[COMP_CWORD-2]}
  else
    flag=${COMP_WORDS[COMP_CWORD-1]}
  fi
  case $flag in
  -?*)
    candidates=$(_cagewise_values "$command" "$flag")
    case $? in
    1) candidates="" flag="" ;;
    2) files=yes ;;
    esac
    ;;
  *) flag="" ;;
  esac
  if [ -z "$flag" ]; then
    case $cur in
    -*) candidates=$(_cagewise_flags "$command") ;;
    *)
      candidates=$(_cagewise_words "$command" "$COMP_CWORD")
      [ $? -eq 2 ] && files=yes
      ;;
    esac
  fi
  local word
  for word in $candidates; do
    case $word in
    "$cur"*) COMPREPLY+=("$(printf '%q' "$word")") ;;
    esac
  done
  if [ -n "$files" ]; then
    compopt -o filenames 2>/dev/null
    COMPREPLY+=($(compgen -f -- "$cur"))
  fi
}
complete -F _cagewise cagewise
`

func bashScript(list []completed) string {
	var b strings.Builder
	b.WriteString(scriptHead("bash", list))
	fmt.Fprintf(&b, "_cagewise_commands() {\n  printf '%%s\\n' %s\n", quoteAll(commandNames(list)))
	b.WriteString("}\n\n_cagewise_flags() {\n  case $1 in\n")
	for _, c := range list {
		bashCase(&b, c.name, flagWords(c))
	}
	b.WriteString("  esac\n}\n\n_cagewise_values() {\n  case \"$1 $2\" in\n")
	for _, c := range list {
		for _, f := range c.flags {
			bashValue(&b, c.name, f)
		}
	}
	b.WriteString("  esac\n}\n\n_cagewise_words() {\n  case \"$1 $2\" in\n")
	for _, c := range list {
		bashWords(&b, c)
	}
	b.WriteString("  esac\n}\n" + bashFrame)
	return b.String()
}

// bashCase is a case that prints words, one a line.
func bashCase(b *strings.Builder, pattern string, words []string) {
	fmt.Fprintf(b, "  %s) printf '%%s\\n' %s ;;\n", pattern, quoteAll(words))
}

// bashValue writes what follows a flag.
func bashValue(b *strings.Builder, command string, f completedFlag) {
	pattern := shellQuote(command + " --" + f.name)
	if f.short != "" {
		pattern += "|" + shellQuote(command+" -"+f.short)
	}
	switch {
	case f.bare:
		fmt.Fprintf(b, "  %s) return 1 ;;\n", pattern)
	case len(f.choices) > 0:
		bashCase(b, pattern, f.choices)
	case f.file:
		fmt.Fprintf(b, "  %s) return 2 ;;\n", pattern)
	}
}

// bashWords writes what may stand without a flag: words in the first and the
// second place, files everywhere.
func bashWords(b *strings.Builder, c completed) {
	files := ""
	if c.files {
		files = "; return 2"
	}
	for i, words := range [][]string{c.first, c.second} {
		if len(words) > 0 {
			fmt.Fprintf(b, "  %s) printf '%%s\\n' %s%s ;;\n", shellQuote(fmt.Sprintf("%s %d", c.name, i+2)), quoteAll(words), files)
		}
	}
	if c.files {
		fmt.Fprintf(b, "  '%s '*) return 2 ;;\n", c.name)
	}
}

func commandNames(list []completed) []string {
	var words []string
	for _, c := range list {
		words = append(words, c.name)
	}
	return words
}

// flagWords are the flags of a command as they are typed.
func flagWords(c completed) []string {
	var words []string
	for _, f := range c.flags {
		words = append(words, "--"+f.name)
		if f.short != "" {
			words = append(words, "-"+f.short)
		}
	}
	return words
}
