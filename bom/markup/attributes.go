package markup

import "iter"

// Attributes gives the attributes of the last start that have a prefix: the
// prefix, the name and the value as it stands. The declarations of namespaces
// are not among them.
func (s *Scanner) Attributes() iter.Seq2[Token, []byte] {
	return func(yield func(Token, []byte) bool) {
		for _, a := range s.attrs {
			if len(a.prefix) == 0 || string(a.prefix) == "xmlns" {
				continue
			}
			if !yield(Token{Prefix: a.prefix, Name: a.name}, a.value) {
				return
			}
		}
	}
}
