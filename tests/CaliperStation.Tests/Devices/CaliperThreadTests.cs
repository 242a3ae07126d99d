using CaliperStation.Core.Readings;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

public sealed class CaliperThreadTests
{
    /// <summary>Whatever is thrown where the line is read, the bench hears of it at once and typing stays open.</summary>
    [Theory]
    [InlineData(typeof(DllNotFoundException))]
    [InlineData(typeof(TypeInitializationException))]
    [InlineData(typeof(NullReferenceException))]
    public async Task Any_fault_of_the_thread_that_reads_the_line_is_told_to_the_bench(Type fault)
    {
        Failing caliper = new(fault == typeof(TypeInitializationException) ? new TypeInitializationException("Ports", null) : (Exception)Activator.CreateInstance(fault)!);
        List<CaliperEvent> told = [];

        Exception thrown = await Assert.ThrowsAnyAsync<Exception>(() => caliper.RunAsync(told.Add, CancellationToken.None).WaitAsync(TimeSpan.FromSeconds(20)));

        Assert.IsType(fault, thrown);
        Assert.Equal(LossKind.Failed, Assert.IsType<CaliperEvent.Lost>(Assert.Single(told)).Kind);
        Assert.True(caliper.IsClosed);
    }

    private sealed class Failing(Exception fault) : ICaliper
    {
        public bool IsClosed { get; private set; }

        public string Name => "failing";

        public ReadingSource Source => ReadingSource.Serial;

        public bool Asks => false;

        public bool Request() => false;

        public TimeSpan Step(Action<CaliperEvent> post) => throw fault;

        public void Close() => IsClosed = true;
    }
}
