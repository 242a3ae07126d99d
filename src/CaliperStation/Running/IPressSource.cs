using CaliperStation.Core.Readings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Running;

/// <summary>What a press came to: a reading, or why there is none.</summary>
internal readonly record struct PressResult(Reading? Reading, string? Refusal)
{
    internal static PressResult Of(Reading reading) => new(reading, null);

    internal static PressResult Refused(string why) => new(null, why);
}

/// <summary>Takes the steady value of a caliper at a press.</summary>
internal interface IPressSource
{
    /// <summary>The steady value for a step; waits for one, but not longer than a person would hold still.</summary>
    Task<PressResult> PressAsync(Step step, CancellationToken stop);

    /// <summary>True when the caliper was seen to move since the last reading was taken.</summary>
    bool MovedSinceTaken { get; }

    /// <summary>The reading was taken.</summary>
    void Taken(Reading reading);
}

/// <summary>No caliper: every reading is typed.</summary>
internal sealed class NoPress : IPressSource
{
    public bool MovedSinceTaken => true;

    public void Taken(Reading reading)
    {
    }

    public Task<PressResult> PressAsync(Step step, CancellationToken stop) =>
        Task.FromResult(PressResult.Refused("there is no caliper to press: type the length"));
}
