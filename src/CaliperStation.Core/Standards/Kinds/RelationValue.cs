using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>The value of a relation with its gradient, so that uncertainty carries through (JCGM 100:2008, 5.1.2).</summary>
/// <param name="Dimension">The unit of the numbers.</param>
/// <param name="Exact">The value as an exact length; <c>default</c> for an angle or a ratio.</param>
/// <param name="Number">The value as a floating number.</param>
/// <param name="Gradient">For each step read, the change of the value per nanometre of its reading; once for each step.</param>
public sealed record RelationValue(Dimension Dimension, ExactLength Exact, double Number, IReadOnlyList<(string Step, double PerNanometre)> Gradient)
{
    /// <summary>A length: readings added up, each times 1 or −1; the first is added.</summary>
    internal static RelationValue Sum(Func<string, ExactLength> reading, params ReadOnlySpan<(string Step, int Factor)> terms)
    {
        ExactLength sum = reading(terms[0].Step);
        List<(string Step, double PerNanometre)> gradient = new(terms.Length) { terms[0] };
        foreach ((string step, int factor) in terms[1..])
        {
            ExactLength value = reading(step);
            sum = factor < 0 ? sum - value : sum + value;
            gradient.Add((step, factor));
        }

        return Of(sum, gradient);
    }

    /// <summary>A length.</summary>
    internal static RelationValue Of(ExactLength value, IEnumerable<(string Step, double PerNanometre)> gradient) => new(Dimension.Length, value, value.ToDouble(), Merged(gradient));

    /// <summary>An angle or a ratio.</summary>
    internal static RelationValue Of(Dimension dimension, double value, IEnumerable<(string Step, double PerNanometre)> gradient) => new(dimension, default, value, Merged(gradient));

    /// <summary>A step that enters twice is one reading, wholly correlated with itself: its sensitivities add up before they are squared.</summary>
    private static List<(string Step, double PerNanometre)> Merged(IEnumerable<(string Step, double PerNanometre)> terms)
    {
        List<(string Step, double PerNanometre)> gradient = [];
        foreach ((string step, double perNanometre) in terms)
        {
            int at = gradient.FindIndex(term => term.Step == step);
            if (at < 0)
            {
                gradient.Add((step, perNanometre));
            }
            else
            {
                gradient[at] = (step, gradient[at].PerNanometre + perNanometre);
            }
        }

        return gradient;
    }
}
