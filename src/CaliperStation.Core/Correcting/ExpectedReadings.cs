using CaliperStation.Core.Judging;
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
    private readonly Standard _standard;
    private readonly IReadOnlyDictionary<string, Measured> _readings;

    internal ExpectedReadings(Plan plan, IReadOnlyList<Relation> applying, IReadOnlyDictionary<string, Measured> readings)
    {
        _standard = plan.Standard;
        _readings = readings;
        _index = plan.Steps.Select((step, index) => (step.Id, index)).ToDictionary(pair => pair.Id, pair => pair.index);
        _constant = new double[plan.Steps.Count];
        _open = [.. plan.Steps.Select((_, index) => new SortedDictionary<int, double> { [index] = 1 })];
        foreach (Relation relation in applying.OrderBy(Order))
        {
            Take(relation);
        }
    }

    /// <summary>The part of a step's expected reading that is known, in nanometres.</summary>
    internal double Constant(int step) => _constant[step];

    /// <summary>The unknowns in it with their factors.</summary>
    internal IReadOnlyDictionary<int, double> Open(int step) => _open[step];

    private static int Order(Relation relation) => relation.Kind switch
    {
        RelationKind.Gap or RelationKind.Flush or RelationKind.Pitch => 0,
        RelationKind.Level or RelationKind.Angle => 1,
        RelationKind.Equal => 2,
        RelationKind.Sum or RelationKind.Share or RelationKind.NotMoreThan => 3,
        RelationKind.Size => 4,
    };

    private void Take(Relation relation)
    {
        switch (relation.Kind)
        {
            case RelationKind.Gap or RelationKind.Flush or RelationKind.Pitch:
                foreach (string step in relation.Of.Where(step => relation.AddSteps.All(_readings.ContainsKey)))
                {
                    double halves = (relation.Add.Sum(size => (double)size.Nanometres) + relation.AddSteps.Sum(Read)) / 2;
                    Equate(Aim(relation, limits => limits.Nominal?.Nanometres, ValueOf(relation, step)) - halves, (step, 1));
                }

                break;
            case RelationKind.Equal:
                foreach (string step in relation.Of.Skip(1))
                {
                    Equate(0, (relation.Of[0], 1), (step, -1));
                }

                break;
            case RelationKind.Level or RelationKind.NotMoreThan:
                Equate(Aim(relation, limits => limits.Nominal?.Nanometres, ValueOf(relation, relation.Of[0])), (relation.Of[0], 1), (relation.Of[1], -1));
                break;
            case RelationKind.Sum:
                Equate(Aim(relation, limits => limits.Nominal?.Nanometres, ValueOf(relation, relation.Of[0])), [.. relation.Of.Select(step => (step, 1.0))]);
                break;
            case RelationKind.Share:
                double? share = Aim(relation, limits => limits.NominalNumber, ValueOf(relation, relation.Of[0]));
                Equate(share is null ? null : 0, (relation.Of[0], 1), (relation.Of[1], -share ?? 0));
                break;
            case RelationKind.Angle:
                Angle(relation);
                break;
            case RelationKind.Size:
                break;
        }
    }

    private void Angle(Relation relation)
    {
        if ((relation.SpanStep is null || _readings.ContainsKey(relation.SpanStep))
            && Spans.Of(_standard, relation, step => _readings[step]) is { } span
            && Aim(relation, limits => limits.NominalNumber, ValueOf(relation, relation.Of[0])) is { } milliradians)
        {
            double rise = span.ToDouble() * Math.Tan(milliradians / 1000);
            Equate(rise, relation.Of.Count > 1 ? [(relation.Of[0], 1), (relation.Of[1], -1)] : [(relation.Of[0], 1)]);
        }
    }

    private double Read(string step) => _readings[step].Value.ToDouble();

    private double? ValueOf(Relation relation, string each)
    {
        IEnumerable<string> needed = relation.HoldsForEach ? relation.AddSteps.Append(each) : relation.Needs;
        return needed.All(_readings.ContainsKey)
            ? RelationValue.Of(relation, each, Spans.Of(_standard, relation, step => _readings[step]), step => _readings[step]).Number
            : null;
    }

    /// <summary>The value to expect, or null where the limits name no place.</summary>
    private static double? Aim(Relation relation, Func<Limits, double?> nominal, double? value)
    {
        List<double> nominals = [.. relation.Limits.Select(nominal).OfType<double>()];
        if (nominals.Count > 0)
        {
            return value is { } present ? nominals.MinBy(each => Math.Abs(each - present)) : nominals[0];
        }

        return value is { } outside ? Nearest(relation.Limits, outside) : null;
    }

    private static double? Nearest(IReadOnlyList<Limits> limits, double value)
    {
        List<double> limit = [];
        foreach (Limits each in limits)
        {
            double low = each.Lower?.Nanometres ?? each.LowerNumber ?? double.NegativeInfinity;
            double high = each.Upper?.Nanometres ?? each.UpperNumber ?? double.PositiveInfinity;
            if (value >= low && value <= high)
            {
                return null;
            }

            limit.Add(value < low ? low : high);
        }

        return limit.MinBy(each => Math.Abs(each - value));
    }

    /// <summary>Σ factor × expected reading = total; solved for the unknown with the largest factor.</summary>
    private void Equate(double? total, params ReadOnlySpan<(string Step, double Factor)> terms)
    {
        if (total is not { } sum)
        {
            return;
        }

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
            return;   // settled by earlier rules, in agreement or not; judging tells which
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
