package cost

import "tenoff/bom"

// Batch computes one batch size. Errors among the problems mean that the batch
// cannot be made as the input stands; the batch then holds what is known.
func (m *Model) Batch(size int) (Batch, bom.Problems) {
	var problems bom.Problems
	b := Batch{Size: size}
	workOutNeeds(m, &b, &problems)
	if problems.Failed() {
		return b, problems
	}
	planPlates(m, &b, &problems)
	if !m.costsOnly && !problems.Failed() {
		planPrinting(m, &b, &problems)
	}
	s := m.newSums(&b)
	statePrinting(s)
	boardDemands(s)
	stateDemands(s)
	stateAssembly(s)
	decidePurchases(m, s, &problems)
	statePurchases(s)
	stateOrders(s)
	stateSwaps(s)
	stateOneOffs(s)
	stateHandWork(s)
	statePostage(s, &problems) // after all else that is consumed: a parcel's value may decide
	if !m.costsOnly {
		listCuts(m, &b)
		planDays(m, &b)
	}
	spreadOut(s)
	addUp(s)
	sharePayers(s)
	stateTill(s)
	stateCharge(s)
	return b, problems
}
