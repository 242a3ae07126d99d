using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>
/// What each step would read with every item in its place: a constant plus unknowns the standard leaves open, such as
/// the common gap of an <c>equal</c>. Numbers in nanometres.
/// </summary>
/// <remarks>
/// Every relation with a nominal is one linear equation between the expected readings; the equations are solved one by
/// one, single readings first, and one that the earlier ones already settle is passed over. Of several nominals the one
/// nearest to the present value counts. A range without a nominal names no place: inside it the reading is taken as it is
/// (it sees nothing), outside it the nearest limit is expected. A size is as it is read, and so is a share or an angle.
/// </remarks>
internal sealed class ExpectedReadings
{
    private readonly Dictionary<string, int> _index;
    private readonly double[] _constant;
    private readonly SortedDictionary<int, double>[] _open;   // step → open unknown → factor

    internal ExpectedReadings(Plan plan, IReadOnlyList<Relation> applying, IReadOnlyDictionary<string, Measured> readings)
    {
        _index = plan.Steps.Select((step, index) => (step.Id, index)).ToDictionary(pair => pair.Id, pair => pair.index);
        _constant = new double[plan.Steps.Count];
        _open = [.. plan.Steps.Select((_, index) => new SortedDictionary<int, double> { [index] = 1 })];
        foreach (Relation relation in applying.OrderBy(relation => relation.Kind.Rank))
        {
            ExactLength? span = relation.SpanStep is null || readings.ContainsKey(relation.SpanStep) ? Spans.Of(plan.Standard, relation, step => readings[step]) : null;
            foreach (ReadingEquation equation in relation.Kind.Equations(relation, span, step => readings.TryGetValue(step, out Measured read) ? read.Value : null))
            {
                Equate(equation);
            }
        }
    }

    /// <summary>The part of a step's expected reading that is known, in nanometres.</summary>
    internal double Constant(int step) => _constant[step];

    /// <summary>The unknowns in it with their factors.</summary>
    internal IReadOnlyDictionary<int, double> Open(int step) => _open[step];

    /// <summary>Σ factor × expected reading = total; solved for the unknown with the largest factor.</summary>
    private void Equate(ReadingEquation equation)
    {
        (double sum, (string Step, double Factor)[] terms) = equation;
        SortedDictionary<int, double> left = [];
        foreach ((string step, double factor) in terms)
        {
            int index = _index[step];
            sum -= factor * _constant[index];
            foreach ((int unknown, double each) in _open[index])
            {
                left[unknown] = left.GetValueOrDefault(unknown) + (factor * each);
            }
        }

        (int pivot, double size) = left.Count == 0 ? default : left.MaxBy(pair => Math.Abs(pair.Value));
        if (Math.Abs(size) < 1e-9)
        {
            return;   // settled by earlier rules, in agreement or not; judging shows which
        }

        left.Remove(pivot);
        for (int step = 0; step < _open.Length; step++)
        {
            if (_open[step].Remove(pivot, out double factor))
            {
                _constant[step] += factor * sum / size;
                foreach ((int unknown, double each) in left)
                {
                    _open[step][unknown] = _open[step].GetValueOrDefault(unknown) - (factor * each / size);
                }
            }
        }
    }
}
