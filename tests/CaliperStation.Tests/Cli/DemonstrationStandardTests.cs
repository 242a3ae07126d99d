using CaliperStation.Cli;

namespace CaliperStation.Tests.Cli;

public class DemonstrationStandardTests
{
    [Fact]
    public void The_program_carries_the_very_file_of_the_documentation()
    {
        byte[] documented = File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "Documentation", StandardSource.DemonstrationName));

        Assert.Equal(documented, StandardSource.Demonstration().Bytes);
        Assert.Equal("Harbour Lantern Company, dress blouse", StandardSource.Demonstration().Standard.Name);
    }
}
