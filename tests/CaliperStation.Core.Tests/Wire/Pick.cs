using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>Any one of a few things.</summary>
internal static class Pick
{
    public static Gen<T> From<T>(params T[] choices) => Gen.Int[0, choices.Length - 1].Select(index => choices[index]);
}
