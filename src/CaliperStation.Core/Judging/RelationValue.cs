using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Judging;

/// <summary>The value of a relation with its gradient, so that uncertainty carries through (JCGM 100:2008, 5.1.2).</summary>
/// <param name="Dimension">The unit of the numbers.</param>
/// <param name="Exact">The value as an exact length; <c>default</c> for an angle or a ratio.</param>
/// <param name="Number">The value as a floating number.</param>
/// <param name="Gradient">For each step read, the change of the value per nanometre of its reading; once for each step.</param>
public sealed record RelationValue(Dimension Dimension, ExactLength Exact, double Number, IReadOnlyList<(string Step, double PerNanometre)> Gradient)
{
    /// <summary>Combined standard uncertainty of independent readings.</summary>
    public double Uncertainty(Func<string, Measured> reading)
    {
        Span<double> gradient = stackalloc double[Gradient.Count];
        Span<double> uncertainties = stackalloc double[Gradient.Count];
        for (int i = 0; i < Gradient.Count; i++)
        {
            gradient[i] = Gradient[i].PerNanometre;
            uncertainties[i] = reading(Gradient[i].Step).Uncertainty;
        }

        return Propagation.Combine(gradient, uncertainties);
    }

    /// <summary>Computes a relation from all the readings it needs; a relation that holds for each reads <paramref name="each"/> only.</summary>
    /// <param name="relation">The relation.</param>
    /// <param name="each">The one step, for a relation that holds for each of its readings; else ignored.</param>
    /// <param name="span">The distance of a level or an angle, or null where there is none.</param>
    /// <param name="reading">What a step was read as.</param>
    /// <exception cref="ArgumentException">An angle without a span: the loader refuses such a standard.</exception>
    public static RelationValue Of(Relation relation, string each, ExactLength? span, Func<string, Measured> reading) => relation.Kind switch
    {
        RelationKind.Gap or RelationKind.Flush or RelationKind.Size => Linear(reading, (each, 1)),
        RelationKind.Pitch => Pitch(relation, each, reading),
        RelationKind.Equal => Spread(relation, reading),
        RelationKind.Level or RelationKind.NotMoreThan => Linear(reading, (relation.Of[0], 1), (relation.Of[1], -1)),
        RelationKind.Sum => Linear(reading, [.. relation.Of.Select(step => (step, 1))]),
        RelationKind.Share => Share(relation, reading),
        RelationKind.Angle => Angle(relation, span ?? throw new ArgumentException("An angle is taken over a span.", nameof(span)), reading),
    };

    private static RelationValue Linear(Func<string, Measured> reading, params ReadOnlySpan<(string Step, int Factor)> terms)
    {
        ExactLength sum = reading(terms[0].Step).Value;   // the first of each relation is added
        List<(string Step, double PerNanometre)> gradient = new(terms.Length) { terms[0] };
        foreach ((string step, int factor) in terms[1..])
        {
            ExactLength value = reading(step).Value;
            sum = factor < 0 ? sum - value : sum + value;
            Add(gradient, step, factor);
        }

        return new RelationValue(Dimension.Length, sum, sum.ToDouble(), gradient);
    }

    private static RelationValue Pitch(Relation relation, string each, Func<string, Measured> reading)
    {
        ExactLength value = reading(each).Value;
        List<(string Step, double PerNanometre)> gradient = [(each, 1)];
        foreach (Length size in relation.Add)
        {
            value += ExactLength.From(size).Half();
        }

        foreach (string step in relation.AddSteps)
        {
            value += reading(step).Value.Half();
            Add(gradient, step, 0.5);
        }

        return new RelationValue(Dimension.Length, value, value.ToDouble(), gradient);
    }

    private static RelationValue Spread(Relation relation, Func<string, Measured> reading)
    {
        string largest = relation.Of[0];
        string smallest = relation.Of[^1];
        foreach (string step in relation.Of)
        {
            largest = reading(step).Value > reading(largest).Value ? step : largest;
            smallest = reading(step).Value < reading(smallest).Value ? step : smallest;
        }

        return Linear(reading, (largest, 1), (smallest, -1));   // all equal: first and last, which still differ as readings
    }

    private static RelationValue Share(Relation relation, Func<string, Measured> reading)
    {
        double whole = reading(relation.Of[1]).Value.ToDouble();
        double ratio = reading(relation.Of[0]).Value.Over(reading(relation.Of[1]).Value);
        List<(string Step, double PerNanometre)> gradient = [(relation.Of[0], 1 / whole)];
        Add(gradient, relation.Of[1], -ratio / whole);
        return new RelationValue(Dimension.Ratio, default, ratio, gradient);
    }

    private static RelationValue Angle(Relation relation, ExactLength span, Func<string, Measured> reading)
    {
        double over = span.ToDouble();
        double rise = reading(relation.Of[0]).Value.ToDouble() - (relation.Of.Count > 1 ? reading(relation.Of[1]).Value.ToDouble() : 0);
        double milli = 1000 / ((over * over) + (rise * rise));   // d atan(r/s) = (s dr − r ds)/(s² + r²), in milliradians
        List<(string Step, double PerNanometre)> gradient = [(relation.Of[0], over * milli)];
        if (relation.Of.Count > 1)
        {
            Add(gradient, relation.Of[1], -over * milli);
        }

        if (relation.SpanStep is { } spanStep)
        {
            Add(gradient, spanStep, -rise * milli);
        }

        return new RelationValue(Dimension.Angle, default, Math.Atan2(rise, over) * 1000, gradient);
    }

    /// <summary>A step that enters twice is one reading, wholly correlated with itself: its sensitivities add up before they are squared.</summary>
    private static void Add(List<(string Step, double PerNanometre)> gradient, string step, double perNanometre)
    {
        for (int i = 0; i < gradient.Count; i++)
        {
            if (gradient[i].Step == step)
            {
                gradient[i] = (step, gradient[i].PerNanometre + perNanometre);
                return;
            }
        }

        gradient.Add((step, perNanometre));
    }
}
